package office

import (
	"time"

	"combline/internal/answer"
	"combline/internal/record"
)

// stillFills is for how long a tank into which an open lot runs is taken to fill on, in
// hours after the last honey.
const stillFills = 6

// drawJobs are the settling tanks that may be drawn, each on the day and from the hour at
// which its bubbles are likely up; one of which too little is known asks to be read.
func (d *DayPlan) drawJobs(from, to time.Time) (all []Job) {
	now := record.At(d.At)
	today := record.DayOf(from) == record.DayOf(d.At)
	for _, st := range d.v.Waits(now) {
		s, ok := d.v.Settling(DrawAsk{Tank: st.Code, At: now})
		if !ok || s.Empty || d.v.softNow(st, now) || s.Running && float64(now.Minute-s.Filled.Minute) < 60*stillFills {
			continue
		}
		j := Job{Kind: "draw", Key: "draw " + string(st.Code), Of: []record.Code{st.Code}}
		args := answer.Args{"tank": st.Code, "lots": d.v.originsIn(st.Content), "holds": s.Holding}
		up, known := later2(s.Filled, s.Clear.Likely).(record.When)
		if !s.Reckoned || !known {
			if !today {
				continue
			}
			j.Mark, j.What = answer.Care, answer.Line{Key: "job.draw-read", Args: args}
			for _, key := range s.Lacks {
				j.Under = append(j.Under, answer.Line{Key: key, Args: args, Mark: answer.Care})
			}
			all = append(all, j)
			continue
		}
		at := up.Time().In(d.At.Location())
		if !at.Before(to) || at.Before(from) && !today {
			continue
		}
		if at.After(from) {
			j.At = at
		}
		args["size"], args["when"], args["low"], args["high"] = hundredthMM(s.BubbleMM), up, later2(s.Filled, s.Clear.Low), later2(s.Filled, s.Clear.High)
		j.What = answer.Line{Key: "job.draw", Args: args}
		j.Under = []answer.Line{{Key: "job.draw-up", Args: args}}
		switch status(s.Status) {
		case onHold: // it is drawn into drums that are held too
			j.Mark, j.Under = answer.Bad, append([]answer.Line{{Key: "job.draw-held", Args: args, Mark: answer.Bad}}, j.Under...)
		case touched:
			j.Mark, j.Under = answer.Care, append([]answer.Line{{Key: "draw.touched", Args: args, Mark: answer.Care}}, j.Under...)
		}
		all = append(all, j)
	}
	return all
}
