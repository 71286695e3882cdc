package web

import (
	"slices"
	"strings"

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
	Code, What, Who, When, Answer       string
	Mark                                string
	Trace, Recall, Hold, Reply, History string
	State                               chip
}

func (v *visit) complaints() error {
	p := complaintsPage{frame: v.frame("send", v.say("page.complaints")), Text: v.say("page.complaints.text"), New: "/do/complaint?back=/complaints", Empty: v.say("page.complaints.none")}
	var all []goods.Complaint
	v.s.office.Read(func(h *office.View) { all = h.State.Goods.Complaints() })
	for _, c := range slices.Backward(all) {
		if r := v.complaintRow(c); c.Answered == nil {
			p.Open = append(p.Open, r)
		} else {
			p.Done = append(p.Done, r)
		}
	}
	return v.render("complaints", p)
}

func (v *visit) complaintRow(c goods.Complaint) complaintRow {
	mark, code := string(c.Mark), string(c.Complaint)
	r := complaintRow{Code: code, What: v.say(c.Class.Key()), Who: strings.Trim(string(c.Customer)+", "+c.Bought, ", "), When: v.text(c.When), Mark: mark, History: link("/history", "of", code),
		Reply: link("/do/complaint-answer", "of", code, "back", "/complaints"), State: newChip("watch", v.say("page.complaints.open"))}
	if c.ComplaintTaken.What != "" {
		r.What += ": " + c.ComplaintTaken.What
	}
	if mark != "" {
		r.Trace, r.Recall, r.Hold = link("/trace", "of", mark), link("/recall", "of", mark), link("/do/hold", "of", mark, "back", "/complaints")
	}
	if c.Answered != nil {
		r.Answer, r.State = c.Answered.Answer, newChip("ok", v.say("page.complaints.answered"))
	}
	return r
}

// complaintTask takes a complaint. A photo stays in the house's folder; its name is
// noted beside the complaint.
func (v *visit) complaintTask(of record.Code) (*task, error) {
	t := &task{Of: of}
	v.s.office.Read(func(h *office.View) {
		next := h.NextCode(record.Complaint, "K-01")
		var likely []option
		if x, ok := h.State.Find(of); ok && of != "" {
			likely = []option{{Value: string(h.State.Code(x)), Text: string(h.State.Code(x)), On: true}}
		}
		t.Parts = []part{{Kind: record.KindComplaintTaken, Cells: []cell{{Name: "class"}, {Name: "mark", Likely: likely, Hint: v.say("page.task.complaint.mark")}, {Name: "what"}, {Name: "units"},
			{Name: "customer", Likely: named(h, record.Customer, nil)}, {Name: "bought_at"}, {Name: "complaint", Start: string(next)}}},
			{Kind: record.KindNoted, Fixed: map[string]string{"about": ""}, Maybe: true, Cells: []cell{{Name: "note", Label: v.say("page.task.complaint.photo")}}}}
	})
	t.Make = func(d *house.Draft) error {
		k, ok := d.Facts[0].(*record.ComplaintTaken)
		if !ok || len(d.Facts) < 2 {
			return nil
		}
		if n, ok := d.Facts[1].(*record.Noted); ok {
			n.About = []record.Code{k.Complaint}
			n.Note = v.say("page.task.complaint.photo") + ": " + n.Note
		}
		return nil
	}
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
