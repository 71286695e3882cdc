package demo

import (
	"fmt"

	q "combline/internal/quantity"
	"combline/internal/record"
)

const kilo q.Gram = 1000

// tare is the empty weight of every drum that stands here, the house's and the supplier's.
const tare q.Gram = 18_600

// kg is a mass as it is read or typed: in kilograms, with one decimal where the
// platform scale gave it and three where it is finer.
func kg(m q.Gram, how q.How) record.Weight {
	decimals := uint8(1)
	if m%100 != 0 {
		decimals = 3
	}
	return record.Weight{Figure: m.In(q.KgUnit, decimals), How: how}
}

// weighed is a mass from the house's own scales.
func weighed(m q.Gram) record.Weight { return kg(m, q.Weighed) }

// calculated is a mass that was worked out, as the rest after a run.
func calculated(m q.Gram) record.Weight { return kg(m, q.Calculated) }

// jarGrams is the mass of one unit in g with so many decimals: 3413, 1 is 341.3 g.
func jarGrams(mantissa int64, decimals uint8, how q.How) record.Weight {
	return record.Weight{Figure: fig(mantissa, decimals, q.G), How: how}
}

func fig(mantissa int64, decimals uint8, unit q.Unit) q.Figure {
	return q.Figure{Mantissa: mantissa, Decimals: decimals, Unit: unit}
}

func pct(n int64) q.Figure         { return fig(n, 0, q.Pct) }
func pctTenths(n int64) q.Figure   { return fig(n, 1, q.Pct) }
func degrees(n int64) q.Figure     { return fig(n, 0, q.DegC) }
func tenthsOfDeg(n int64) q.Figure { return fig(n, 1, q.DegC) }
func pieces(n int64) q.Figure      { return fig(n, 0, q.Each) }

// number is a code with a running number: number("D%03d", 7) is D007.
func number(form string, n int) record.Code { return record.Code(fmt.Sprintf(form, n)) }

// numbers is the codes from first to last.
func numbers(form string, first, last int) []record.Code {
	var all []record.Code
	for n := first; n <= last; n++ {
		all = append(all, number(form, n))
	}
	return all
}

// drums is the codes of runs of fillings: drums(1, 6, 9, 9) is D001 to D006 and D009.
func drums(runs ...int) []record.Code {
	var all []record.Code
	for i := 0; i < len(runs); i += 2 {
		all = append(all, numbers("D%03d", runs[i], runs[i+1])...)
	}
	return all
}

// part shares a whole number out by weights, to the last unit.
func part(whole int64, weights []q.Gram) []int64 {
	shares, err := q.Apportion(whole, weights)
	if err != nil {
		panic(err) // a mistake in the tables of this package
	}
	return shares
}
