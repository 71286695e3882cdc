package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// R3 was checked at the end of each of its 18 half-hours, five jars of each of the
// four nozzles. Nozzle 3 drifts from check 14 on; nothing was set otherwise.
const (
	checks        = 18
	jarsAHalfHour = 550
	jarsANozzle   = 5
)

// nozzleMeans are the means of the four nozzles in tenths of a gram at the check
// after half-hour i, from 0.
func nozzleMeans(i int) [4]int64 {
	third := [checks]int64{13: 3395, 14: 3370, 15: 3344, 16: 3318, 17: 3291}
	if i < 13 {
		return [4]int64{3414, 3411, 3413, 3416}
	}
	return [4]int64{3414, 3411, third[i], 3416}
}

func sumOf(ns [4]int64) (sum int64) {
	for _, n := range ns {
		sum += n
	}
	return sum
}

// nozzleCheck is the check after a half-hour of R3; the other runs' checks are not on record.
func nozzleCheck(r run, i int) record.Fact {
	if r.code != "R3" {
		return nil
	}
	c := &record.NozzlesChecked{Run: r.code, Check: int64(i + 1), Scale: r.scale}
	for n, mean := range nozzleMeans(i) {
		c.Nozzles = append(c.Nozzles, record.NozzleCheck{Nozzle: int64(n + 1), Jars: jarsANozzle, Mean: jarGrams(mean, 1, q.Weighed)})
	}
	return c
}

// A sorting is the jars of one half-hour that were taken out when it was reweighed:
// those under 340 g less the tolerable shortage, and the lightest of the rest.
type sorting struct {
	half           int
	pulled, kept   int64
	pulledG, keptG q.Gram
}

var sortings = []sorting{
	{15, 0, 3, 0, 999},
	{16, 0, 42, 0, 13_963},
	{17, 16, 100, 5_260, 33_168},
	{18, 91, 46, 29_840, 15_220},
}

// driftingNozzle: the last five half-hours are held, reweighed jar by jar, the
// lightest taken out, and the rest released.
func driftingNozzle(d *diary) {
	held := numbers("R3-%02d", 14, 18)
	t := at(time.November, 3, 16, 1)
	d.at(t, packLead, &record.ProblemFound{Problem: "P-02", About: []record.Code{jarFiller, "R3"}, What: "nozzle 3 fills less and less since check 13"})
	d.at(minutes(t, 1), packLead, &record.HoldSet{Hold: holdWeight, Cause: record.CauseWeight, Roots: held,
		Reason: "nozzle 3 drifted after check 13, the last good one; no nozzle code on the jars, so all 2750 are reweighed"})

	t = at(time.November, 4, 14, 0)
	var pulled []record.Code
	lightest := &record.Regraded{To: "R3-B", Label: label(325), Reason: "lightest of those left, kept back and relabelled 325 g"}
	for i, s := range sortings {
		half := number("R3-%02d", s.half)
		if s.pulled > 0 {
			pulled = append(pulled, number("R3-P%d", s.half))
			d.at(minutes(t, s.half), packLead, &record.Regraded{Batch: half, To: number("R3-P%d", s.half),
				Units: s.pulled, Mass: weighed(s.pulledG), Reason: "under 329.8 g, to be tipped back"})
		}
		if i == 0 {
			lightest.Batch, lightest.Units, lightest.Mass = half, s.kept, weighed(s.keptG)
		} else {
			lightest.Also = append(lightest.Also, record.RegradedFrom{Batch: half, Units: s.kept, Mass: weighed(s.keptG)})
		}
	}
	d.at(minutes(t, 30), packLead, lightest)

	t = at(time.November, 5, 13, 0)
	free := func(n int, contents []record.Code, reason string) {
		d.at(minutes(t, n), owner, &record.Released{Hold: holdWeight, Contents: contents, Role: roleOwner, Reason: reason,
			Evidence: "reweighing of 4 November"})
	}
	free(0, held, "after 107 pulled and 191 kept back: hour 15-16 is 1055 jars at 340.3 g, last hour 847 jars at 341.2 g; both pass")
	free(1, []record.Code{"R3-B"}, "relabelled 325 g, for the own shop")
	free(2, pulled, "tipped back as honey in bulk")
	for i, s := range sortings[2:] {
		d.at(minutes(t, 10+i), "packer-2", &record.TippedBack{Batch: pulled[i], Units: s.pulled, Mass: weighed(s.pulledG), To: pailTipped})
	}
	d.at(minutes(t, 30), owner, &record.HoldLifted{Hold: holdWeight, Role: roleOwner, Reason: "all 2750 jars are sorted", Evidence: "reweighing of 4 November"})
	d.at(minutes(t, 35), owner, &record.ProblemDealtWith{Problem: "P-02", Action: "piston seal of nozzle 3 changed", Over: record.Yes})
	d.at(minutes(t, 60), "packer-1", placed(shop, "R3-B"))
}
