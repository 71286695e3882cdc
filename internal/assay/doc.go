// Package assay reckons what the heat that honey has had, and will have, makes of
// its HMF, diastase and invertase: from its last readings, along the temperatures
// since, through the parents of a blend, forward to a date; always with doubt.
//
// A marker grows along a straight line of the heat it had:
//
//	y = y0 + r·A,   A = ∫ k(T) dt
//
// with y the HMF in mg/kg, or the logarithm of an enzyme (then r counts downward), k
// the published rate law of package honey and r the honey's own rate factor. What is
// not known beforehand is drawn once for a whole house, in [Scenarios] equally likely
// scenarios: the rate factor and activation energy of each honey type, the error of
// each place's temperatures and of each laboratory. Within a scenario all is linear
// and normal, so readings are taken in by the normal law (a Kalman step), and what two
// drums have in common stays common in their blend. A forecast is the mixture over the
// scenarios.
//
// What a house's own repeat readings say of a type's rate factor is learned first, see
// [Learn].
package assay
