package fill

import (
	"fmt"
	"math"
	"math/bits"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// samplerRoom is the greatest sample that a plan here asks for: both samples of the
// double plan for batches from 3201.
const samplerRoom = 160

// A Sampler draws jars at random from a batch as they are filled, so that the
// inspector's test can be made on them at its end, however many there were. The
// draw follows from the seed alone: the same jars give the same sample again.
type Sampler struct {
	random uint64
	seen   int64
	kept   [samplerRoom]quantity.Milligram
}

// NewSampler begins a batch.
func NewSampler(seed uint64) Sampler { return Sampler{random: seed} }

// Add takes the batch's next jar: each jar ends in the sample with the same chance.
func (s *Sampler) Add(net quantity.Milligram) error {
	if net <= 0 || net > maxMass {
		return fmt.Errorf("net %g g, want above 0 g to %.0f g: %w", Grams(net), maxMassG, ErrOutOfRange)
	}
	// A jar takes a place at random among all places so far; one beyond the room is not kept.
	at := s.below(uint64(s.seen) + 1)
	if s.seen < samplerRoom {
		s.kept[s.seen] = s.kept[at]
	}
	if at < samplerRoom {
		s.kept[at] = net
	}
	s.seen++
	return nil
}

// below is a random whole number under n (splitmix64; the bias of the multiply is
// n/2^64).
func (s *Sampler) below(n uint64) uint64 {
	s.random += 0x9e3779b97f4a7c15
	z := s.random
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	hi, _ := bits.Mul64(z^z>>31, n)
	return hi
}

// Seen is how many jars the batch has so far.
func (s *Sampler) Seen() int64 { return s.seen }

// Sample is the jars drawn, in random order: the first ones are the first sample.
func (s *Sampler) Sample() []quantity.Milligram {
	return append([]quantity.Milligram(nil), s.kept[:min(s.seen, samplerRoom)]...)
}

// Judge makes the inspector's reference test on the sample: short jars by the plan,
// with the second sample where the first does not decide, and the mean.
func (s *Sampler) Judge(r standard.Rules, label quantity.Milligram, m standard.Method) (standard.BatchVerdict, error) {
	return standard.JudgeBatch(r, label, m, int(s.seen), s.Sample())
}

// AcceptShort is the chance that an inspector's sample accepts a batch with so many
// short jars in it, by the plan with its second sample. Exact: jars are drawn
// without being put back.
func AcceptShort(p standard.Plan, batch, short int64) (float64, error) {
	n1, n2 := int64(p.First.N), int64(p.Second.N)
	if batch < n1+n2 || short < 0 || short > batch {
		return 0, fmt.Errorf("%d short jars in a batch of %d, want 0 to the batch, and a batch of at least the %d jars sampled: %w", short, batch, n1+n2, ErrOutOfRange)
	}
	var accept float64
	for k := int64(0); k <= min(n1, short); k++ {
		first := drawn(k, n1, short, batch)
		d, err := p.Judge(int(k))
		if err != nil {
			return 0, err
		}
		switch d {
		case standard.AcceptFirst:
			accept += first
		case standard.TakeSecond:
			for j := int64(0); k+j <= int64(p.Second.Accept); j++ {
				accept += first * drawn(j, n2, short-k, batch-n1)
			}
		}
	}
	return min(accept, 1), nil
}

// drawn is the chance of k short jars among n drawn from a batch.
func drawn(k, n, short, batch int64) float64 {
	if k < 0 || k > n || k > short || n-k > batch-short {
		return 0
	}
	return math.Exp(choose(short, k) + choose(batch-short, n-k) - choose(batch, n))
}

// choose is the logarithm of n over k.
func choose(n, k int64) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}

// AcceptMean is the chance that an inspector's sample passes the mean of a large
// batch of a true mean and spread: that x̄ ≥ label − k·s in n jars. By integrating
// over the law of s (χ with n − 1 degrees of freedom); right to 1e-9.
func AcceptMean(p standard.MeanPlan, label quantity.Milligram, meanG, sdG float64) (float64, error) {
	if err := checkRange("mean", meanG, 0, maxMassG, " g"); err != nil {
		return 0, err
	}
	if !(sdG > 0 && sdG <= 1e5) {
		return 0, fmt.Errorf("spread %g g, want above 0 g: %w", sdG, ErrOutOfRange)
	}
	if p.N < 2 {
		return 0, fmt.Errorf("sample of %d jars, want 2 or more: %w", p.N, ErrOutOfRange)
	}
	df := float64(p.N - 1)
	// s/σ·√df follows χ, which is hardly ever 8 from √df.
	x, w := legendre(max(0, math.Sqrt(df)-8), math.Sqrt(df)+8)
	gamma, _ := math.Lgamma(df / 2)
	root := math.Sqrt(float64(p.N))
	var sum float64
	for i, chi := range x {
		law := math.Exp((df-1)*math.Log(chi) - chi*chi/2 - (df/2-1)*math.Ln2 - gamma)
		s := sdG * chi / math.Sqrt(df)
		sum += w[i] * law * phi((meanG+p.K.Float()*s-Grams(label))*root/sdG)
	}
	return min(1, sum), nil
}
