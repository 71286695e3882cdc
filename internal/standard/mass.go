package standard

import "fmt"

// OIML R 111-1:2004 table 1, class M1.
var m1Masses = [...]struct {
	nominal, mpe Microgram
	got          Got
}{
	{1 * mg, 200, Read}, {2 * mg, 200, Read}, {5 * mg, 200, Read}, {10 * mg, 250, Read}, {20 * mg, 300, Read}, {50 * mg, 400, Read},
	{100 * mg, 500, Read}, {200 * mg, 600, Read}, {500 * mg, 800, Read}, {1 * gm, 1000, Read}, {2 * gm, 1200, Read}, {5 * gm, 1600, Read},
	{10 * gm, 2000, Read}, {20 * gm, 2500, Read}, {50 * gm, 3000, Read}, {100 * gm, 5000, Read},
	{200 * gm, 10 * mg, Memory}, {500 * gm, 25 * mg, Memory}, {1000 * gm, 50 * mg, Memory}, {2000 * gm, 100 * mg, Memory},
	{5000 * gm, 250 * mg, Memory}, {10_000 * gm, 500 * mg, Memory}, {20_000 * gm, 1 * gm, Memory}, {50_000 * gm, 2500 * mg, Memory},
}

// MassError gives the permissible error, either way, of a class M1 test weight.
// Valid for the nominal masses 1, 2 and 5 × 10^k from 1 mg to 50 kg. Source:
// OIML R 111-1:2004 table 1 (read up to 100 g, memory above).
func MassError(nominal Microgram) (Microgram, Cite, error) {
	for i := range m1Masses {
		if m := &m1Masses[i]; m.nominal == nominal {
			return m.mpe, Cite{OIMLMasses, "table 1", m.got}, nil
		}
	}
	return 0, Cite{}, fmt.Errorf("test weight of %g g, want 1, 2 or 5 times a power of ten from 1 mg to 50 kg: %w", nominal.Grams(), ErrOutOfRange)
}

// MassPasses reports whether a class M1 weight found so much off is in order.
func MassPasses(nominal, off Microgram) (bool, Cite, error) {
	mpe, c, err := MassError(nominal)
	return err == nil && -mpe <= off && off <= mpe, c, err
}

// MassesSuit reports whether test weights, whose permissible errors add up to
// masses, are good enough to check a scale: at most a third of its own
// permissible error at that load. Source: OIML R 76-1:2006 3.7.1 (memory).
func MassesSuit(masses, scale Microgram) (bool, Cite) {
	return masses >= 0 && 3*masses <= scale, Cite{OIMLScales, "3.7.1", Memory}
}
