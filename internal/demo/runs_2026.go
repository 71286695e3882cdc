package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// packing writes the six runs in the order in which they were packed.
func packing(d *diary) {
	tip(d, at(time.September, 19, 8, 0), "T4", drums(1, 1, 8, 8, 15, 16))
	d.at(at(time.September, 19, 9, 30), "packer-3", washed(record.WashDown, drumPump))
	packRun(d, softSetRun())

	tip(d, at(time.September, 21, 5, 30), "T1", drums(20, 21, 36, 37))
	tip(d, at(time.September, 21, 5, 55), "T2", drums(22, 24, 38, 38))
	mix(d, at(time.September, 21, 6, 45), "T1", "T2")
	packRun(d, summerRun())
	brokenGlass(d)

	tip(d, at(time.October, 14, 6, 0), hopper, drums(39, 39))
	packRun(d, spoonRun())
	tip(d, at(time.October, 16, 6, 0), hopper, drums(40, 40))
	packRun(d, sachetRun())

	tip(d, at(time.November, 3, 5, 30), "T1", drums(28, 31))
	tip(d, at(time.November, 3, 5, 45), "T2", drums(32, 34, 101, 101))
	tip(d, at(time.November, 3, 6, 0), "T3", drums(102, 105))
	mix(d, at(time.November, 3, 6, 50), "T1", "T2", "T3")
	packRun(d, blendRun())

	tip(d, at(time.November, 5, 6, 0), "T1", drums(62, 64))
	packRun(d, forestRun())
}

// tip empties drums into a tank.
func tip(d *diary, t time.Time, to record.Code, from []record.Code) {
	var pours []record.Pour
	for _, c := range from {
		pours = append(pours, record.Pour{From: c, All: record.Yes})
	}
	d.at(t, packLead, &record.HoneyMoved{Pours: pours, To: to, Purpose: record.TableHoney, Via: []record.Code{drumPump}})
}

// mix pumps tanks round until they hold one mix; then the pump is washed.
func mix(d *diary, t time.Time, tanks ...record.Code) {
	d.at(t, packLead, &record.Mixed{Vessels: tanks, Via: []record.Code{drumPump}})
	d.at(minutes(t, 5), "packer-3", washed(record.WashDown, drumPump))
}

func softSetRun() run {
	return run{code: "R1", product: softSet, order: "O-02", tanks: []record.Code{"T4"}, filler: jarFiller,
		start: at(time.September, 28, 10, 0), end: at(time.September, 28, 12, 24), target: jarGrams(4561, 1, q.Typed), temp: 24,
		marks:  []mark{{"R1-01", "T4", 2640, at(time.September, 28, 12, 24)}},
		tipped: 1220 * kilo, filled: 1204_100, caseN: 200, caseOf: 12,
		used:   []use{{"JAR454-1", 2640}, {"LID-1", 2640}, {"CASE12-1", 200}},
		shares: []share{{"L01", 238}, {"L02", 238}, {"L03", 475}, {"S25", 49}}}
}

// summerRun stood still from 10:40 to 11:05 while broken glass was cleared.
func summerRun() run {
	r := run{code: "R2", product: summerJar, order: "O-01", tanks: []record.Code{"T1", "T2"}, filler: jarFiller,
		start: at(time.September, 21, 7, 0), end: at(time.September, 21, 13, 10), target: jarGrams(3413, 1, q.Typed), temp: 40,
		tipped: 2320 * kilo, filled: 2154_300, rests: []q.Gram{30 * kilo, 120 * kilo}, rest: pailR2, caseN: 500, caseOf: 12,
		used:   []use{{"JAR340-1", 6312}, {"LID-1", 6312}, {"LABEL-VM-1", 6312}, {"CASE12-1", 500}},
		shares: []share{{"L04", 625}, {"L06", 375}}, rejects: 20}
	for i, n := range []int64{550, 550, 550, 550, 550, 550, 550, 183, 458, 550, 550, 550, 171} {
		m := mark{number("R2-%02d", i+1), "T1", n, minutes(r.start, 30*(i+1))}
		if i >= 6 {
			m.tank = "T2"
		}
		if m.at.After(r.end) {
			m.at = r.end
		}
		r.marks = append(r.marks, m)
	}
	r.marks[7].at = at(time.September, 21, 10, 40)
	return r
}

func spoonRun() run {
	return run{code: "R5", product: spoon, order: "O-03a", tanks: []record.Code{hopper}, filler: portionFiller,
		start: at(time.October, 14, 7, 0), end: at(time.October, 15, 15, 25), target: jarGrams(708, 2, q.Typed),
		marks:  []mark{{"R5-01", hopper, 20200, at(time.October, 14, 15, 25)}, {"R5-02", hopper, 20200, at(time.October, 15, 15, 25)}},
		tipped: fullNet, filled: 286 * kilo, caseN: 400, caseOf: 100, shares: []share{{"L06", 1000}}}
}

func sachetRun() run {
	return run{code: "R6", product: sachet, order: "O-03b", tanks: []record.Code{hopper}, filler: portionFiller,
		start: at(time.October, 16, 7, 0), end: at(time.October, 16, 14, 50), target: jarGrams(1210, 2, q.Typed),
		marks:  []mark{{"R6-01", hopper, 23500, at(time.October, 16, 14, 50)}},
		tipped: fullNet, filled: 284_300, caseN: 46, caseOf: 500, shares: []share{{"L06", 1000}}}
}

// blendRun fills half-hour by half-hour from three tanks that hold one mix.
func blendRun() run {
	r := run{code: "R3", product: blendJar, order: "O-06", tanks: []record.Code{"T1", "T2", "T3"}, filler: jarFiller, scale: benchScale,
		start: at(time.November, 3, 7, 0), end: at(time.November, 3, 16, 0), target: jarGrams(3413, 1, q.Typed), temp: 40,
		tipped: 3480 * kilo, filled: 3374_600, rests: []q.Gram{28 * kilo, 28 * kilo, 28 * kilo}, rest: pailR3, caseN: 800, caseOf: 12,
		used: []use{{"JAR340-1", 3288}, {"JAR340-2", 6612}, {"LID-1", 9048}, {"LID-2", 852}, {"LABEL-6040-1", 9900},
			{"CASE12-1", 500}, {"CASE12-2", 300}},
		shares: []share{{velmark, 583}, {ostrana, 417}}}
	for k := range checks {
		r.marks = append(r.marks, mark{number("R3-%02d", k+1), r.tanks[k/6], jarsAHalfHour, minutes(r.start, 30*(k+1))})
	}
	return r
}

func forestRun() run {
	return run{code: "R4", product: forestJar, order: "O-07", tanks: []record.Code{"T1"}, filler: jarFiller,
		start: at(time.November, 5, 7, 0), end: at(time.November, 5, 10, 7), target: jarGrams(2514, 1, q.Typed), temp: 40,
		marks:  []mark{{"R4-01", "T1", 3420, at(time.November, 5, 10, 7)}},
		tipped: 870 * kilo, filled: 859_800, caseN: 250, caseOf: 12,
		used:   []use{{"JAR250-1", 2000}, {"JAR250-2", 1420}, {"LID-2", 3420}, {"CASE12-2", 250}},
		shares: []share{{"L09", 1000}}}
}

// brokenGlass: one jar broke at nozzle 2 of R2.
func brokenGlass(d *diary) {
	t := at(time.September, 21, 10, 41)
	d.at(t, packLead, &record.GlassBroken{Run: "R2", Nozzle: 2, Jars: 1, Cleared: "3 m both ways", Resumed: fig(25, 0, q.Minute),
		Signed: string(packLead)},
		&record.Destroyed{What: "R2-08", Units: 20, Mass: calculated(6_826), Reason: "within 3 m of the broken jar"})
	wash := washed(record.CleanDown, jarFiller, sieve02)
	wash.Signed = string(packLead)
	d.at(minutes(t, 23), packLead, wash)
}
