package web

import (
	"errors"
	"html/template"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A blend for an order, or for what was typed: what is asked, what to use, what each
// limit has left; or why there is none and what would do.
type blendForPage struct {
	*frame
	Head, About string
	Stamp       chip
	ID          string // of the search
	Working     string // how far it is
	Stop        string // form that ends it
	Spec        []specRow
	Kept        string
	Lines       []answerLine
	Verdict     string // in large, when there is none
	Reach       []reachRow
	Ways        []wayRow
	Uses        []useRow
	Sum         useRow
	Outs        []useRow
	OutHead     string
	Mix         template.HTML
	MixKg       string
	Limits      []limitView
	Shares      *sheet
	Plan        *entry
	PlanHead    string
	PlanCode    string
	PlanApart   bool // who plans it, or a question, stands on a sheet of its own
	PlanAsks    bool
	Unit        string
	Form        askForm
	Wrong       []string
}

// A specRow is one thing that is asked.
type specRow struct {
	Name, Text, From string
	Clash            bool
}

// A reachRow is a demand of a clash on its own scale: what is asked and what is within
// reach.
type reachRow struct {
	Text, Reach string
	Rule        template.HTML
}

// A wayRow is one change that would do.
type wayRow struct {
	N, Text, Note, Href string
}

// quick is how long a page waits for a search that is soon over.
const quick = 700 * time.Millisecond

func (v *visit) blendFor() error {
	q, err := v.blendQuery()
	if err != nil {
		return err
	}
	ask, wrong := office.ReadBlendAsk(q, v.numberStyle())
	title := v.say("page.blend.for", "what", blendName(ask))
	p := blendForPage{frame: v.frame("blend", title), Head: title}
	p.Here = link("/blend/for") + "?" + ask.Query().Encode()
	for _, name := range slices.Sorted(maps.Keys(wrong)) {
		p.Wrong = append(p.Wrong, v.wrongTyped(wrong[name]))
	}
	p.Form = v.askForm(ask, nil)
	if len(p.Wrong) > 0 {
		p.Form.keep(q, wrong, v.numberStyle())
		p.Stamp = newChip("stop", v.say("page.blend.not-asked"))
		return v.render("blendfor", p)
	}
	w, err := v.s.office.Blend(ask)
	if err != nil {
		p.Wrong, p.Stamp = []string{v.wrongAsk(err)}, newChip("stop", v.say("page.blend.not-asked"))
		return v.render("blendfor", p)
	}
	select {
	case <-w.Done():
	case <-time.After(quick):
	case <-v.r.Context().Done():
		return v.r.Context().Err()
	}
	v.fillBlend(&p, w)
	if done, err := v.planBlend(&p, w); err != nil || done {
		return err
	}
	return v.render("blendfor", p)
}

func blendName(ask office.BlendAsk) string {
	switch {
	case ask.Order != "":
		return string(ask.Order)
	case ask.Product != "":
		return string(ask.Product)
	}
	return "…"
}

// blendQuery is the ask as the address or the form gives it: fields for the usual
// limits become limits.
func (v *visit) blendQuery() (url.Values, error) {
	if err := v.r.ParseForm(); err != nil {
		return nil, err
	}
	q := url.Values{}
	for name, values := range v.r.Form {
		q[name] = slices.Clone(values)
	}
	if v.r.Method == "POST" { // the address says what is asked; the form only who plans it
		q = v.r.URL.Query()
	}
	for _, f := range usualLimits {
		for _, end := range []struct{ name, sign string }{{".least", ">="}, {".most", "<="}} {
			typed := strings.TrimSpace(q.Get(f + end.name))
			if q.Del(f + end.name); typed != "" {
				q["limit"] = append(q["limit"], f+end.sign+typed)
			}
		}
	}
	if mass := strings.TrimSpace(q.Get("mass")); mass != "" && v.massIn() == quantity.Lb && strings.Trim(mass, "0123456789., \u00a0\u202f") == "" {
		q.Set("mass", mass+" lb")
	}
	return q, nil
}

// usualLimits have fields of their own.
var usualLimits = []string{"water", "colour", "hmf", "diastase", "conductivity"}

// wrongTyped words what can't be read.
func (v *visit) wrongTyped(err error) string {
	var typed *office.DemandError
	if errors.As(err, &typed) {
		return v.sentence(answer.Line{Key: typed.Key, Args: typed.Args})
	}
	if text, ok := v.c.Refusal(err); ok {
		return text
	}
	return err.Error()
}

// wrongAsk words what can't be asked.
func (v *visit) wrongAsk(err error) string {
	var wrong *office.BlendWrong
	switch {
	case errors.As(err, &wrong):
		return v.sentence(answer.Line{Key: wrong.Key, Args: wrong.Args})
	case errors.Is(err, office.ErrNoSolver):
		return v.say("blend.fail.no-solver")
	}
	return v.wrongTyped(err)
}

// fillBlend shows what a search came to, or how far it is.
func (v *visit) fillBlend(p *blendForPage, w *office.BlendWork) {
	k, s := w.Case, w.State()
	p.ID, p.Unit = w.ID, v.kg(0, 0).Unit
	p.Form = v.askForm(k.Ask, k)
	v.blendHead(p, k)
	v.spec(p, k, s)
	if !s.Done {
		p.Working = v.say("page.blend.working", "seconds", int64(s.Took/time.Second), "limit", int64(w.Limit/time.Second))
		if s.Waiting {
			p.Working = v.say("page.blend.queued")
		}
		p.Stop = link("/blend/stop", "id", w.ID, "back", p.Here)
	}
	switch {
	case s.Checked != nil:
		v.checked(p, k, s.Checked)
	case s.Found != nil && s.Found.Plan != nil:
		v.found(p, k, s)
	case s.Found != nil && s.Found.Clash != nil:
		v.noBlend(p, k, s.Found)
	case s.Err != nil:
		p.Stamp = newChip("stop", v.say("page.blend.no-answer"))
		p.Lines = append(p.Lines, v.line(*w.Answer().Cannot))
	default:
		p.Stamp = chip{Icon: "clock", Text: v.say("page.blend.looking")}
	}
	for _, n := range k.Notes {
		p.Lines = append(p.Lines, v.line(n))
	}
}

func (v *visit) blendHead(p *blendForPage, k *office.BlendCase) {
	var about []string
	if k.Ask.Order != "" {
		name := string(k.Order.Customer)
		v.s.office.Read(func(h *office.View) {
			if c, ok := h.State.Goods.Customer(k.Order.Customer); ok && c.Name != "" {
				name = c.Name
			}
		})
		about = append(about, name)
	}
	if k.HasProduct {
		about = append(about, productName(k.Product.ProductNamed))
	}
	about = append(about, v.c.MassTo(k.Problem.Batches[0].Grams, 0))
	if k.Ask.Due > 0 {
		about = append(about, v.say("page.blend.due", "day", v.text(k.Ask.Due)))
	}
	if len(k.Ask.Sold) > 0 {
		about = append(about, v.say("page.blend.if-sold", "what", v.text(k.Ask.Sold)))
	}
	p.About = strings.Join(about, " · ")
	if k.Ask.Order == "" && k.Ask.Product == "" {
		p.Head = v.say("page.blend.typed")
		p.Title = p.Head
	}
}

// spec lists what is asked; what clashes is marked.
func (v *visit) spec(p *blendForPage, k *office.BlendCase, s office.BlendState) {
	clash := func(blend.Demand) bool { return false }
	if s.Found != nil && s.Found.Clash != nil {
		clash = func(d blend.Demand) bool { return slices.Contains(s.Found.Clash.Set, d) }
	}
	add := func(d blend.Demand, from string) {
		p.Spec = append(p.Spec, specRow{Text: v.sentence(k.DemandLine(d)), From: v.say("blend.from." + from), Clash: clash(d)})
	}
	b := k.Problem.Batches[0]
	from := "asked"
	if k.Ask.Order != "" {
		from = "order"
	}
	add(blend.Demand{Kind: blend.AskGrams}, from)
	for i := range b.Limits {
		add(blend.Demand{Kind: blend.AskLimit, Index: i}, k.Origin[i])
	}
	for i := range b.Shares {
		add(blend.Demand{Kind: blend.AskShare, Index: i}, k.ShareFrom[i])
	}
	for i := range b.Label {
		add(blend.Demand{Kind: blend.AskLabel, Index: i}, "label")
	}
	for i := range b.Use {
		add(blend.Demand{Kind: blend.AskUse, Index: i}, "asked")
	}
	if b.Most > 0 {
		add(blend.Demand{Kind: blend.AskContents}, "asked")
	}
	if b.Parcel > 0 {
		add(blend.Demand{Kind: blend.AskParcel}, "asked")
	}
	if b.Tank > 0 {
		add(blend.Demand{Kind: blend.AskTank}, "asked")
	}
	if b.Timed {
		add(blend.Demand{Kind: blend.AskTime}, from)
	}
	if !k.Ask.Parts && len(k.Ask.Only) == 0 {
		add(blend.Demand{Kind: blend.AskWhole}, "house")
	}
	p.Kept = v.say("page.blend.kept", "risk", quantity.Percent(100*k.Problem.Risk), "aims", v.aims(k))
}

// aims says in which order plans are judged.
func (v *visit) aims(k *office.BlendCase) string {
	aims := k.Problem.Aims
	if len(aims) == 0 {
		aims = office.UsualAims()
	}
	var all []string
	for _, a := range aims {
		key := strings.ReplaceAll(a.String(), "_", "-")
		if a == blend.Cheapest && !k.Costed {
			key = "honey"
		}
		all = append(all, v.say("page.blend.aim."+key))
	}
	return strings.Join(all, ", ")
}

func (v *visit) found(p *blendForPage, k *office.BlendCase, s office.BlendState) {
	plan := s.Found.Plan
	p.Stamp = newChip("ok", v.say("page.blend.all-met"))
	b := plan.Blends[0]
	if b.Over > 0 {
		p.Lines = append(p.Lines, v.line(answer.Line{Key: "blend.over", Args: answer.Args{"over": b.Over, "wanted": k.Problem.Batches[0].Grams}}))
	}
	if s.Done {
		p.Lines = append(p.Lines, v.line(office.ProofLine(s)))
	}
	v.mix(p, k, plan.Draws, b, nil)
	v.outs(p, k, s.Found.Outs)
	v.cautions(p, k, plan.Draws)
	if s.Done { // what is still being looked for may be another when it is planned
		p.PlanHead = v.say("page.blend.plan", "mass", v.c.MassTo(b.Grams, 0))
	}
}

func (v *visit) cautions(p *blendForPage, k *office.BlendCase, draws []blend.Draw) {
	for _, u := range k.Uses(draws) {
		for _, l := range u.Cautions {
			p.Lines = append(p.Lines, v.line(l))
		}
	}
}

func (v *visit) checked(p *blendForPage, k *office.BlendCase, x *office.Checked) {
	faults := k.FaultLines(x)
	p.Stamp = newChip("ok", v.say("page.blend.all-met"))
	if len(faults) > 0 {
		p.Stamp = newChip("stop", v.say("page.blend.not-kept"))
	}
	for _, l := range faults {
		l.Mark = answer.Bad
		p.Lines = append(p.Lines, v.line(l))
	}
	if len(x.Draws) > 0 {
		v.mix(p, k, x.Draws, x.Blend, x.Faults)
		v.cautions(p, k, x.Draws)
	}
	v.outs(p, k, nil)
	if len(faults) == 0 {
		p.PlanHead = v.say("page.blend.plan", "mass", v.c.MassTo(x.Blend.Grams, 0))
	}
}

// noBlend says what clashes, how near each demand comes, and what would do.
func (v *visit) noBlend(p *blendForPage, k *office.BlendCase, r *blend.Result) {
	p.Stamp = newChip("stop", v.say("page.blend.none"))
	p.Verdict = v.sentence(k.ClashLine(r.Clash))
	for _, d := range r.Clash.Set {
		row := reachRow{Text: v.sentence(k.DemandLine(d))}
		for _, x := range r.Clash.Reaches {
			if x.Demand == d && row.Reach == "" {
				row.Reach = v.sentence(k.ReachLine(x))
				row.Rule = v.reachRule(k, x)
			}
		}
		p.Reach = append(p.Reach, row)
	}
	if r.Clash.More {
		p.Lines = append(p.Lines, v.line(answer.Line{Key: "blend.more-clash", Mark: answer.Care}))
	}
	if r.Clash.Unsure {
		p.Lines = append(p.Lines, v.line(answer.Line{Key: "blend.clash-unsure", Mark: answer.Care}))
	}
	for i, x := range r.Clash.Changes {
		w := wayRow{N: strconv.Itoa(i + 1), Text: v.sentence(k.ChangeLine(x))}
		if x.Plan != nil {
			w.Note = v.say("page.blend.gives", "mass", v.c.MassTo(x.Plan.Blends[0].Grams, 0), "n", int64(len(x.Plan.Draws)))
		}
		if a, ok := k.Tried(x); ok {
			w.Href = link("/blend/for") + "?" + a.Query().Encode()
		}
		p.Ways = append(p.Ways, w)
	}
	v.outs(p, k, r.Outs)
}

// planBlend takes the form that plans the blend.
func (v *visit) planBlend(p *blendForPage, w *office.BlendWork) (done bool, err error) {
	if p.PlanHead == "" {
		return false, nil
	}
	t := &task{Name: "blend-plan", Title: p.Head, Back: "/blend", Go: p.PlanHead}
	code := record.Code(strings.TrimSpace(v.r.PostForm.Get("plan")))
	if code == "" {
		v.s.office.Read(func(h *office.View) { code = h.NextCode(record.Plan, "P-1") })
	}
	t.Make = func(d *house.Draft) error {
		f, shown, ok := w.PlanOf(code)
		if v.r.PostForm.Get("work") != w.ID || !ok { // what was on the page is not what there is now
			return &house.Refusal{Key: "page.blend.changed", Next: "next.plan-again"}
		}
		d.Facts, d.Shown = append(d.Facts, f), append(d.Shown, shown...)
		t.Back = link("/blend/plan", "of", string(code))
		return nil
	}
	e, done, err := v.take(t)
	if err != nil || done {
		return done, err
	}
	e.Action = p.Here
	if e.Refused != "" { // a number that is taken by now is not offered again
		v.s.office.Read(func(h *office.View) { code = h.NextCode(record.Plan, "P-1") })
	}
	p.Plan, p.PlanCode = e, string(code)
	p.PlanAsks = e.Refused != "" || len(e.Asks) > 0 || e.PIN != nil
	p.PlanApart = p.PlanAsks || len(e.Who) > 0
	return false, nil
}

// blendStop ends a search with the best blend so far.
func (v *visit) blendStop() error {
	if w, ok := v.s.office.BlendWork(v.arg("id")); ok {
		w.Stop()
		select {
		case <-w.Done():
		case <-time.After(3 * quick):
		}
	}
	return v.see(v.arg("back"))
}
