package heat

// The implicit Runge–Kutta method in time: six stages, the first explicit, fourth
// order with a third-order one inside for the error, L-stable, stage order 2, the
// last stage is the step's end. C. A. Kennedy and M. H. Carpenter, Additive
// Runge–Kutta schemes, Applied Numerical Mathematics 44, 2003, 139–181, the implicit
// half of ARK4(3)6L[2]SA (from memory; a test checks every order condition).
const (
	stages = 6
	gamma  = 0.25
)

var (
	methodC = [stages]float64{0, 1.0 / 2, 83.0 / 250, 31.0 / 50, 17.0 / 20, 1}
	methodA = [stages][stages]float64{
		{},
		{1.0 / 4, gamma},
		{8611.0 / 62500, -1743.0 / 31250, gamma},
		{5012029.0 / 34652500, -654441.0 / 2922500, 174375.0 / 388108, gamma},
		{15267082809.0 / 155376265600, -71443401.0 / 120774400, 730878875.0 / 902184768, 2285395.0 / 8070912, gamma},
		{82889.0 / 524892, 0, 15625.0 / 83664, 69875.0 / 102672, -2260.0 / 8211, gamma},
	}
	methodB3 = [stages]float64{4586570599.0 / 29645900160, 0, 178811875.0 / 945068544, 814220225.0 / 1159782912,
		-3700637.0 / 11593932, 61727.0 / 225920}
)
