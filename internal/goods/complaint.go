package goods

import (
	"slices"

	"combline/internal/record"
)

// A Complaint is what a customer complained of; Answered is nil while it is open.
type Complaint struct {
	*record.ComplaintTaken
	Stamp
	Answered   *record.ComplaintAnswered
	AnsweredAt Stamp
}

// A Recall is goods called back; Ended is nil while it runs.
type Recall struct {
	*record.RecallStarted
	Stamp
	Steps   []RecallStep
	Ended   *record.RecallEnded
	EndedAt Stamp
}

// A RecallStep is something of a recall that was done.
type RecallStep struct {
	*record.RecallStep
	Stamp
}

func (g *Goods) complaintTaken(f *record.ComplaintTaken, at Stamp) {
	g.complaints = append(g.complaints, Complaint{ComplaintTaken: f, Stamp: at})
}

func (g *Goods) complaintAnswered(f *record.ComplaintAnswered, at Stamp) {
	for i := range g.complaints {
		if c := &g.complaints[i]; c.Complaint.Fold() == f.Complaint.Fold() {
			c.Answered, c.AnsweredAt = f, at
			return
		}
	}
	g.odd = append(g.odd, Flag{Key: FlagAnswerUnknown, Of: f.Complaint, Stamp: at})
}

func (g *Goods) recallStarted(f *record.RecallStarted, at Stamp) {
	g.recalls = append(g.recalls, Recall{RecallStarted: f, Stamp: at})
}

func (g *Goods) recallStep(f *record.RecallStep, at Stamp) {
	for i := range g.recalls {
		if r := &g.recalls[i]; r.Recall.Fold() == f.Recall.Fold() {
			r.Steps = append(slices.Clip(r.Steps), RecallStep{f, at})
			return
		}
	}
	g.odd = append(g.odd, Flag{Key: FlagRecallUnknown, Of: f.Recall, Stamp: at})
}

func (g *Goods) recallEnded(f *record.RecallEnded, at Stamp) {
	for i := range g.recalls {
		if r := &g.recalls[i]; r.Recall.Fold() == f.Recall.Fold() {
			r.Ended, r.EndedAt = f, at
			return
		}
	}
	g.odd = append(g.odd, Flag{Key: FlagRecallUnknown, Of: f.Recall, Stamp: at})
}

// Complaints lists every complaint in order.
func (g *Goods) Complaints() []Complaint { return slices.Clone(g.complaints) }

// ComplaintsOf lists the complaints of one mark: a batch, run or drum. Those of
// the batches of a run count as the run's.
func (g *Goods) ComplaintsOf(mark record.Code) []Complaint {
	var all []Complaint
	for _, c := range g.complaints {
		own := c.Mark.Fold() == mark.Fold()
		if b, ok := g.batches[c.Mark.Fold()]; ok && !own {
			own = g.runOf(b).Fold() == mark.Fold()
		}
		if own && mark != "" {
			all = append(all, c)
		}
	}
	return all
}

// Recalls lists every recall in order.
func (g *Goods) Recalls() []Recall { return slices.Clone(g.recalls) }
