package web

import (
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// Complaints: the open ones first, each with the way to its trace, recall list and hold.
type complaintsPage struct {
	*frame
	Text  string
	New   string
	Open  []complaintRow
	Done  []complaintRow
	Empty string
}

type complaintRow struct {
	Code, What, Who, When, Answer              string
	Mark                                       string
	Trace, Recall, Hold, Reply, History, Photo string
	State                                      chip
	Photos                                     []photoShown
	Held                                       *chip // what holds the mark already
	Tap                                        *holdTap
}

// A holdTap holds what is complained of in one tap: the class says why.
type holdTap struct{ Action, Key, Roots, Cause, Reason, Hold string }

// causes of a hold that follow from what is complained of.
var causeOfFault = map[record.ComplaintClass]record.Cause{record.FaultFerment: record.CauseFerment, record.FaultForeignBody: record.CauseForeignBody,
	record.FaultWeight: record.CauseWeight, record.FaultLabel: record.CauseLabel}

func (v *visit) complaints() error {
	p := complaintsPage{frame: v.frame("send", v.say("page.complaints")), Text: v.say("page.complaints.text"), New: "/do/complaint?back=/complaints", Empty: v.say("page.complaints.none")}
	var a answer.Answer
	v.s.office.Read(func(h *office.View) {
		for _, c := range slices.Backward(h.State.Goods.Complaints()) {
			if r := v.complaintRow(h, c); c.Answered == nil {
				p.Open = append(p.Open, r)
			} else {
				p.Done = append(p.Done, r)
			}
		}
		a = h.ComplaintList()
	})
	if sent, err := v.onPaper(p.frame, v.say("page.complaints"), a); sent || err != nil {
		return err
	}
	return v.render("complaints", p)
}

func (v *visit) complaintRow(h *office.View, c goods.Complaint) complaintRow {
	mark, code := string(c.Mark), string(c.Complaint)
	r := complaintRow{Code: code, What: v.say(c.Class.Key()), Who: strings.Trim(string(c.Customer)+", "+c.Bought, ", "), When: v.text(c.When), Mark: mark, History: link("/history", "of", code),
		Reply: link("/do/complaint-answer", "of", code, "back", "/complaints"), State: newChip("watch", v.say("page.complaints.open"))}
	if c.ComplaintTaken.What != "" {
		r.What += ": " + c.ComplaintTaken.What
	}
	if mark != "" {
		r.Trace, r.Recall, r.Hold = link("/trace", "of", mark), link("/recall", "of", mark), link("/do/hold", "of", mark, "back", "/complaints")
		if hold := h.HeldBy(c.Mark); hold != "" {
			held := newChip("stop", v.say("page.complaints.held", "hold", hold))
			r.Held = &held
		} else if c.Answered == nil {
			r.Tap = v.holdTap(h, c)
		}
	}
	r.Photo, r.Photos = link("/do/photo", "of", code, "back", "/complaints"), v.photosOf(h, c.Complaint)
	if c.Answered != nil {
		r.Answer, r.State = c.Answered.Answer, newChip("ok", v.say("page.complaints.answered"))
	}
	return r
}

// holdTap is the hold of a complaint's mark with everything filled in.
func (v *visit) holdTap(h *office.View, c goods.Complaint) *holdTap {
	cause, ok := causeOfFault[c.Class]
	if !ok {
		cause = record.CauseOther
	}
	why := strings.TrimSuffix(v.say("page.complaints.reason", "code", c.Complaint, "class", answer.Key(c.Class.Key()), "what", c.ComplaintTaken.What), ": ")
	return &holdTap{Action: link("/do/hold", "of", string(c.Mark), "back", "/complaints"), Key: newKey(), Roots: string(c.Mark),
		Cause: cause.String(), Reason: why, Hold: string(h.NextCode(record.Hold, "H-01"))}
}

// complaintTask takes a complaint, with a photo where there is one.
func (v *visit) complaintTask(of record.Code) (*task, error) {
	t := &task{Of: of}
	v.s.office.Read(func(h *office.View) {
		next := h.NextCode(record.Complaint, "K-01")
		var likely []option
		if x, ok := h.State.Find(of); ok && of != "" {
			likely = []option{{Value: string(h.State.Code(x)), Text: string(h.State.Code(x)), On: true}}
		}
		t.Parts = []part{{Kind: record.KindComplaintTaken, Cells: []cell{{Name: "class"}, {Name: "mark", Likely: likely, Hint: v.say("page.task.complaint.mark")}, {Name: "what"}, {Name: "units"},
			{Name: "customer", Likely: named(h, record.Customer, nil)}, {Name: "bought_at"}, {Name: "complaint", Start: string(next)}}}}
	})
	t.Make = v.withPhoto(t, false, func(d *house.Draft) record.Code {
		if k, ok := d.Facts[0].(*record.ComplaintTaken); ok {
			return k.Complaint
		}
		return ""
	})
	return t, nil
}

// complaintAnswerTask says how a complaint was dealt with.
func (v *visit) complaintAnswerTask(of record.Code) (*task, error) {
	of, err := v.must(of, record.Complaint)
	if err != nil {
		return nil, err
	}
	return &task{Of: of, Title: v.say("page.task.complaint-answer") + " · " + string(of),
		Parts: []part{{Kind: record.KindComplaintAnswered, Fixed: map[string]string{"complaint": string(of)}, Cells: []cell{{Name: "answer"}}}}}, nil
}
