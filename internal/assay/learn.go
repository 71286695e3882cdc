package assay

import (
	"cmp"
	"math"
	"slices"
)

// A Family is readings of one honey that was split and kept apart, or read again and
// again: a lot as it was read first, and its drums as they were read later. Each knows
// the temperatures from the family's start to its reading.
type Family struct {
	Type string // of honey; empty: not known, and nothing is learned
	Name string // whose readings, to be named when they do not fit
	Seen []Seen
}

// A Seen is one reading of a family.
type Seen struct {
	Reading
	Courses []Course
}

// A Factor is what is known of a honey type's rate factor for one marker: that of 1 is
// the published law's.
type Factor struct {
	Type     string
	Marker   Marker
	Readings int      // that it was learned from; 0: the published spread alone
	Odd      []string // families whose readings do not fit the temperatures written down
	rate     draw     // its logarithm at 50 °C
	energy   draw     // of activation, less the law's, J/mol
}

const (
	rateNodes, energyNodes = 65, 25
	// amiss is the chance that a history was not as it was written down; then its slope
	// may lie anywhere, by Cauchy's law with ten times the width. Both are ours: they
	// keep a drum that stood at 60 °C unseen from teaching a false rate.
	amiss      = 0.05
	amissWider = 10.0
)

// Learn works out a type's rate factor from the families of its readings. The prior is
// lognormal with the published spread, and normal for the activation energy. Along one
// family the marker is a straight line over the heat it had; the line's slope, fitted by
// weighted least squares for every energy on a grid, is normal about the type's factor
// with the fit's variance, the lots' own spread and the doubt of the temperatures. A
// family counts with all of its readings at once, so that a first reading that many
// drums share is not taken for many; and the error of a room in which n families stood
// gets n times its variance in each, so that they can't average it away.
func Learn(m Marker, honeyType string, families []Family) *Factor {
	k := m.kinetics()
	f := &Factor{Type: honeyType, Marker: m}
	rates, energies := nodes(rateNodes, 4*k.factorSD()), nodes(energyNodes, 3.5*k.energySD)
	logp := make([][]float64, rateNodes)
	for i, g := range rates {
		logp[i] = make([]float64, energyNodes)
		for j, e := range energies {
			logp[i][j] = -square(g/k.factorSD())/2 - square(e/k.energySD)/2
		}
	}
	lines := map[int][]slope{}
	among := standingIn(honeyType, families)
	for n, fam := range families {
		if fam.Type != honeyType || honeyType == "" || len(fam.Seen) < 2 {
			continue
		}
		line, ok := fam.slopes(m, k, energies, among)
		if !ok {
			continue
		}
		lines[n] = line
		f.Readings += len(fam.Seen)
		for i, g := range rates {
			for j := range energies {
				l, _ := line[j].likelihood(math.Exp(g))
				logp[i][j] += l
			}
		}
	}
	f.spread(rates, energies, logp)
	f.odd(families, lines, energies)
	return f
}

func square(x float64) float64 { return x * x }

// nodes are n even steps from −end to end.
func nodes(n int, end float64) []float64 {
	all := make([]float64, n)
	for i := range all {
		all[i] = end * (2*float64(i)/float64(n-1) - 1)
	}
	return all
}

// A slope is a family's line for one energy: the rate that fits best, its variance, how
// far the readings lie off the line, and the relative doubt of the heat itself.
type slope struct{ rate, variance, off, temp float64 }

// likelihood of a type's factor, and the chance that the history was amiss.
func (s slope) likelihood(rate float64) (logp, odd float64) {
	width := math.Sqrt(s.variance + (square(withinType)+square(s.temp))*square(rate))
	far := (s.rate - rate) / width
	fits := (1 - amiss) * math.Exp(-(far*far+s.off)/2) / (width * math.Sqrt(2*math.Pi))
	not := amiss / (math.Pi * amissWider * width * (1 + square(far/amissWider)) * (1 + s.off))
	return math.Log(fits+not) + math.Log(s.variance)/2, not / (fits + not)
}

// slopes fits the family's line for every energy. What all of it stood in turns the line
// as a whole; what only one drum stood in moves that drum's reading off it. No slope: all
// was read at once.
func (fam Family) slopes(m Marker, k kinetics, energies []float64, among map[string]int) (all []slope, ok bool) {
	sign := 1.0
	if k.log {
		sign = -1
	}
	usual := fam.usualLab()
	heats := make([]heatHad, len(fam.Seen))
	for i, x := range fam.Seen {
		heats[i] = along(k, x.Courses, among)
	}
	common := commonKeys(heats)
	first := sign * fam.Seen[0].on(m).y
	for _, e := range energies {
		var w, wa, wy, waa, way, wyy, most, temp float64
		for i, x := range fam.Seen {
			r := x.on(m)
			together, apart := heats[i].doubt(common)
			v := square(r.own) + square(apart*(sign*r.y-first))
			if x.Lab != usual {
				v += 2 * square(r.lab)
			}
			a, y := heats[i].sum.a*heats[i].sum.times(k.law, e, 0), sign*r.y
			w, wa, wy, waa, way, wyy = w+1/v, wa+a/v, wy+y/v, waa+a*a/v, way+a*y/v, wyy+y*y/v
			if a > most {
				most, temp = a, together
			}
		}
		sxx, sxy, syy := waa-wa*wa/w, way-wa*wy/w, wyy-wy*wy/w
		if !(sxx > 1e-9*waa) || !(sxx > 0) {
			return nil, false
		}
		all = append(all, slope{rate: sxy / sxx, variance: 1 / sxx, off: max(0, syy-sxy*sxy/sxx), temp: temp})
	}
	return all, true
}

// A heatHad is the heat of several courses, with the doubt of each key's temperatures as
// a part of it.
type heatHad struct {
	sum   heatSum
	parts map[string]float64
}

// commonKeys are the keys under which all readings with any heat stood.
func commonKeys(all []heatHad) map[string]bool {
	n, warm := map[string]int{}, 0
	for _, h := range all {
		if h.sum.a > 0 {
			warm++
			for key := range h.parts {
				n[key]++
			}
		}
	}
	common := map[string]bool{}
	for key, times := range n {
		common[key] = times == warm
	}
	return common
}

// doubt is the relative doubt of the heat under common keys and under others.
func (h heatHad) doubt(common map[string]bool) (together, apart float64) {
	for _, key := range sortedKeys(h.parts) {
		if common[key] {
			together += square(h.parts[key])
		} else {
			apart += square(h.parts[key])
		}
	}
	return math.Sqrt(together), math.Sqrt(apart)
}

// usualLab is the laboratory that read most of a family: its own error shifts the line
// and does not turn it.
func (fam Family) usualLab() string {
	n := map[string]int{}
	for _, x := range fam.Seen {
		n[x.Lab]++
	}
	best := ""
	for _, lab := range sortedKeys(n) {
		if best == "" || n[lab] > n[best] {
			best = lab
		}
	}
	return best
}

func sortedKeys[V any](m map[string]V) []string {
	all := make([]string, 0, len(m))
	for k := range m {
		all = append(all, k)
	}
	slices.Sort(all)
	return all
}

// standingIn counts the families of a type that stood under each key.
func standingIn(honeyType string, families []Family) map[string]int {
	n := map[string]int{}
	for _, fam := range families {
		if fam.Type != honeyType || len(fam.Seen) < 2 {
			continue
		}
		keys := map[string]bool{}
		for _, x := range fam.Seen {
			for _, c := range x.Courses {
				keys[c.Key] = true
			}
		}
		for key := range keys {
			n[key]++
		}
	}
	return n
}

// along adds the heat of several courses up. Their temperatures have one error for each
// key, as often as families share it.
func along(k kinetics, courses []Course, among map[string]int) heatHad {
	h := heatHad{parts: map[string]float64{}}
	for _, c := range courses {
		s := sum(k.law, c)
		h.parts[c.Key] += s.a * s.perKelvin(k.law) * c.SD
		h.sum.add(s)
	}
	for key := range h.parts {
		h.parts[key] *= math.Sqrt(float64(max(1, among[key]))) / max(h.sum.a, 1e-300)
	}
	return h
}

// spread turns the posterior on its grid into scenarios: the rate by its marginal law,
// the energy by its law at that rate, each in strata.
func (f *Factor) spread(rates, energies []float64, logp [][]float64) {
	most := math.Inf(-1)
	for _, row := range logp {
		most = max(most, slices.Max(row))
	}
	marginal := make([]float64, len(rates))
	for i, row := range logp {
		for j := range row {
			row[j] = math.Exp(row[j] - most)
			marginal[i] += row[j]
		}
	}
	name := f.Marker.String() + ":" + f.Type
	byRate, byEnergy := shuffled("rate:"+name), shuffled("energy:"+name)
	for s := range Scenarios {
		f.rate[s] = quantileOf(rates, marginal, (float64(byRate[s])+0.5)/Scenarios)
		i := nearest(rates, f.rate[s])
		f.energy[s] = quantileOf(energies, logp[i], (float64(byEnergy[s])+0.5)/Scenarios)
	}
}

// quantileOf is a quantile of weights on even nodes, each spread over its own cell.
func quantileOf(at, weight []float64, share float64) float64 {
	var total float64
	for _, w := range weight {
		total += w
	}
	step := at[1] - at[0]
	left := share * total
	for i, w := range weight {
		if left <= w && w > 0 {
			return at[i] + step*(left/w-0.5)
		}
		left -= w
	}
	return at[len(at)-1]
}

func nearest(at []float64, x float64) int {
	i := int(math.Round((x - at[0]) / (at[1] - at[0])))
	return min(max(i, 0), len(at)-1)
}

// odd names the families whose history is more likely amiss than not.
func (f *Factor) odd(families []Family, lines map[int][]slope, energies []float64) {
	rate, energy := math.Exp(middle(f.rate)), middle(f.energy)
	j := nearest(energies, energy)
	for n, fam := range families {
		if line, ok := lines[n]; ok {
			if _, odd := line[j].likelihood(rate); odd > 0.5 {
				f.Odd = append(f.Odd, fam.Name)
			}
		}
	}
	slices.SortFunc(f.Odd, cmp.Compare)
}

func middle(d draw) float64 {
	all := d
	slices.Sort(all[:])
	return (all[Scenarios/2-1] + all[Scenarios/2]) / 2
}
