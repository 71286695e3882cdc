package office

import "combline/internal/record"

// LatestRun is the run at work: the latest one that is not over, else the latest.
func (v *View) LatestRun() (latest record.Code) {
	var open bool
	var at int64
	for _, t := range v.State.OfKind(record.Run) {
		r, ok := v.State.Run(t)
		if !ok {
			continue
		}
		if latest == "" || !r.Ended && !open || r.Ended != open && r.When.Minute >= at {
			latest, open, at = v.State.Code(t), !r.Ended, r.When.Minute
		}
	}
	return latest
}
