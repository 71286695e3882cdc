package fill

import (
	"fmt"
	"slices"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A KeptBack is the fewest jars to take out, lightest first, so that the rest keep
// the rules.
type KeptBack struct {
	Pulled Count              // short jars, which go first whatever the mean says
	More   Count              // further light jars, each of which is lawful by itself
	Under  quantity.Milligram // all jars taken out are below this, and none of the rest is lighter
	Rest   Verdict
}

// KeepBack finds how many of the lightest jars must be kept back from a batch every
// jar of which was weighed, so that what is left passes: first all short jars, then
// the lightest left until the mean is at the label. The jars kept back are lawful
// under a smaller label. Exact, in milligrams. Common practice, no source: whether
// a batch may be sorted so is for the local rule.
func KeepBack(r standard.Rules, label quantity.Milligram, net []quantity.Milligram) (KeptBack, error) {
	t, err := standard.ToleranceOf(r, label)
	if err != nil {
		return KeptBack{}, err
	}
	all, err := CountOf(&t, net)
	if err != nil {
		return KeptBack{}, err
	}
	sorted := slices.Sorted(slices.Values(net))
	var k KeptBack
	i := 0
	for ; i < len(sorted) && (sorted[i] < t.T1 || all.Sum < label*quantity.Milligram(all.Jars)); i++ {
		one, err := CountOf(&t, sorted[i:i+1])
		if err != nil {
			return KeptBack{}, err
		}
		if sorted[i] < t.T1 {
			k.Pulled = k.Pulled.And(one)
		} else {
			k.More = k.More.And(one)
		}
		if all, err = all.Without(one); err != nil {
			return KeptBack{}, err
		}
	}
	if all.Jars == 0 {
		return k, fmt.Errorf("no jar of %d is at the label of %g g, so none can be kept: %w", len(net), Grams(label), ErrUnknown)
	}
	k.Under = sorted[i]
	k.Rest, err = Judge(r, label, all)
	return k, err
}
