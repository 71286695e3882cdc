package fill

// The run rules look at the last few means for a pattern that a steady nozzle
// hardly ever makes. Under the normal law and independent means the chance that a
// pattern stands at a given check is:
//
//	two of three beyond 2 sd on one side      0.0020 (both sides together)
//	four of five beyond 1 sd on one side      0.0045
//	eight in a row on one side                0.0078
//	six in a row rising or falling            0.0028
//	fourteen in a row up and down in turn     0.0046
//	fifteen in a row within 1 sd              0.0033
//
// They are reasons to look, not alarms: all together they speak up about once in
// forty checks of a steady nozzle. Sources: the normal law and counting; the tests
// simulate each.
type runs struct {
	seen                       int
	above, below               uint16 // the last means' sides, newest in bit 0
	far2Up, far2Down           uint16 // beyond 2 sd
	far1Up, far1Down           uint16 // beyond 1 sd
	up, down, turns, quietRuns uint8  // lengths of the present runs, counted in means
	last                       float64
	lastStep                   int8
}

const (
	oneSide  = 8
	trend    = 6
	seeSaw   = 14
	tooQuiet = 15
)

// add takes the next mean's distance from the centre in standard deviations.
func (r *runs) add(z float64) Signal {
	shift(&r.above, z > 0)
	shift(&r.below, z < 0)
	shift(&r.far2Up, z > 2)
	shift(&r.far2Down, z < -2)
	shift(&r.far1Up, z > 1)
	shift(&r.far1Down, z < -1)
	r.step(z)
	if -1 < z && z < 1 {
		r.quietRuns = min(r.quietRuns+1, tooQuiet)
	} else {
		r.quietRuns = 0
	}
	r.seen++
	return r.patterns()
}

func shift(bits *uint16, on bool) {
	*bits <<= 1
	if on {
		*bits |= 1
	}
}

// step counts how many means in a row rose, fell or turned.
func (r *runs) step(z float64) {
	var s int8
	switch {
	case r.seen == 0:
	case z > r.last:
		s = 1
	case z < r.last:
		s = -1
	}
	r.up, r.down = follow(r.up, s > 0), follow(r.down, s < 0)
	if s != 0 && s == -r.lastStep {
		r.turns = min(r.turns+1, seeSaw)
	} else if r.turns = 1; s != 0 {
		r.turns = 2
	}
	r.last, r.lastStep = z, s
}

func follow(n uint8, goesOn bool) uint8 {
	if !goesOn {
		return 1
	}
	return min(n+1, trend)
}

func (r *runs) patterns() (s Signal) {
	if of(r.far2Up, 3) >= 2 && r.far2Up&1 != 0 || of(r.far2Down, 3) >= 2 && r.far2Down&1 != 0 {
		s |= NearLimit
	}
	if of(r.far1Up, 5) >= 4 && r.far1Up&1 != 0 || of(r.far1Down, 5) >= 4 && r.far1Down&1 != 0 {
		s |= OffCentre
	}
	if of(r.above, oneSide) == oneSide || of(r.below, oneSide) == oneSide {
		s |= OneSide
	}
	if r.up == trend || r.down == trend {
		s |= Trend
	}
	if r.turns == seeSaw {
		s |= SeeSaw
	}
	if r.quietRuns == tooQuiet {
		s |= TooQuiet
	}
	return s
}

// of counts the marks among the last k means.
func of(marks uint16, k int) (n int) {
	for marks &= 1<<k - 1; marks != 0; marks &= marks - 1 {
		n++
	}
	return n
}
