// Package heat reckons how honey warms and cools in a drum, pail, box, jar or
// stirred vessel, how its grains melt, and what the warmth costs it: HMF,
// diastase and invertase along every cell's own history. It finds when honey is
// fillable, and the set points that make it so in time with the least damage.
//
// The equation is
//
//	ρ·cp(T)·∂T/∂t + ρ·L·∂φ(T)/∂t = ∇·(k∇T),   −k·∂T/∂n = h·(T − T_ambient(t))
//
// on a cylinder (r, z), a box (x, y, z), a plate, a long cylinder, or one stirred
// cell. Space is discretised with Gauss–Lobatto–Legendre nodes (in s = r² for
// a cylinder), in time by an L-stable implicit Runge–Kutta method of fourth order
// with error control; the unknown is the enthalpy, so that what flows in through
// the faces is stored to rounding. docs/models.md has method, convergence and the
// errors against every published case.
//
// All is advice. Wax softens at 32 °C and burns: a heater wants a cut-out of its
// own, and nobody leaves it alone.
package heat
