package instrument

import (
	"fmt"
	"math/rand/v2"

	"combline/internal/quantity"
)

// A Filler is a simulated filler, for training and for trying the program: nozzles in
// turn, each with a mean of its own, a spread, and what may go wrong. The same seed gives
// the same jars.
type Filler struct {
	Seed     uint64
	Label    quantity.Milligram
	Nozzles  int
	TargetG  float64 // mean of all nozzles
	BetweenG float64 // standard deviation between nozzles
	SpreadG  float64 // of one nozzle, jar to jar
	DriftG   float64 // grams that the drifting nozzle loses each half-hour, from DriftAt on
	DriftOf  int     // which nozzle drifts; 0: none
	DriftAt  int64   // from which jar of the run
	StuckOf  int     // nozzle that sticks: it gives StuckG less; 0: none
	StuckG   float64
	StuckAt  int64
	Spikes   float64 // share of jars whose weight is nonsense
	PerHour  int     // jars
	StartMS  int64
	jar      int64
	r        *rand.Rand
	offsets  []float64
}

// SimulatedPattern is the pattern of a simulated filler's lines.
const SimulatedPattern = "{seq};{time};{nozzle};{stable:S};{weight} {unit}"

// Next is the next line, without its end, and the moment of its jar.
func (f *Filler) Next() (line string, atMS int64) {
	if f.r == nil {
		f.r = rand.New(rand.NewPCG(f.Seed, 0x636f6d626c696e65))
		for range f.Nozzles {
			f.offsets = append(f.offsets, f.BetweenG*f.r.NormFloat64())
		}
	}
	n := int(f.jar % int64(f.Nozzles))
	f.jar++
	atMS = f.StartMS + f.jar*3_600_000/int64(f.PerHour)
	g := f.TargetG + f.offsets[n] + f.SpreadG*f.r.NormFloat64()
	if n+1 == f.DriftOf && f.jar > f.DriftAt {
		g -= f.DriftG * float64(f.jar-f.DriftAt) / (float64(f.PerHour) / 2)
	}
	if n+1 == f.StuckOf && f.jar > f.StuckAt {
		g -= f.StuckG
	}
	if f.r.Float64() < f.Spikes {
		g = f.spike(g)
	}
	return fmt.Sprintf("%d;%d;%d;S;%.1f g", f.jar, atMS, n+1, max(g, -99)), atMS
}

// spike is what a scale shows when something else than a jar stands on it.
func (f *Filler) spike(g float64) float64 {
	switch f.r.IntN(4) {
	case 0:
		return 0
	case 1:
		return -f.r.Float64() * 20
	case 2:
		return g * 10
	}
	return g / 1000
}
