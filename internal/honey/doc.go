// Package honey says what honey is at a temperature and a water content, and
// how fast warmth changes it: water from a refractometer, density, viscosity,
// water activity, HMF, enzymes, yeast, setting, colour, heat, composition, and
// what a mix of several parcels is.
//
// Every model is a plain function of typed figures. It refuses what lies outside
// its range with a [RangeError], which wraps [ErrOutOfRange]; NaN is always
// refused. Where published sources disagree it gives a [Band]. [Models] lists
// formula, range, accuracy and source of each for pages and commands, and
// docs/models.md explains them with their errors against the published tables.
//
// Symbols in formulas: T is °C, TK is kelvin, W is g of water per 100 g of
// honey, w is W/100, R = 8.314462618 J/(mol·K).
package honey
