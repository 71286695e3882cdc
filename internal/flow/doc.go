// Package flow says how honey dries in the comb, leaves it in the extractor, runs
// through strainers, pipes and gates, and clears in a tank; how fast a line of
// stations goes; how soft-set honey is started; and what winter stores bees need.
//
// Every model is a plain function of typed figures. What lies outside its range is
// refused with the figure and the range; NaN is always refused. Where a model is
// rough (grade C) it gives a [honey.Band]: low, likely, high. [Learn] corrects a
// textbook figure by what the house measured itself. [Models] lists formula, range,
// accuracy and source of each.
//
// Symbols in formulas: T is °C, TK kelvin, W g of water per 100 g of honey, ρ
// density, μ viscosity, g = 9.80665 m/s².
package flow
