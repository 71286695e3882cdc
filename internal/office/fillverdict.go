package office

import (
	"math"

	"combline/internal/fill"
	"combline/internal/quantity"
)

// A FillVerdict says whether jars keep the packer's rules. Exact when every jar was
// weighed; otherwise reckoned from the checks, with Sure for what the doubt leaves open.
type FillVerdict struct {
	FromMS, ToMS int64
	First, Last  int64 // checks
	Jars         int64
	Counted      bool
	MeanG, OffG  float64
	Short        float64 // jars below T1
	Barred       float64
	Share, Most  float64
	MeanOK       bool
	ShareOK      bool
	NoneOK       bool
	Sure         quantity.Verdict
	Exact        bool
	Sorted       bool // after jars were taken out
}

// Pass reports whether every rule is kept by the figures as they stand.
func (v *FillVerdict) Pass() bool { return v.MeanOK && v.ShareOK && v.NoneOK }

func worse(v, than *FillVerdict) bool {
	if v.Pass() != than.Pass() {
		return !v.Pass()
	}
	return v.MeanG < than.MeanG
}

// hourMS is the time that an inspector often takes for the batch; a few minutes more
// are still the hour that was meant.
const hourMS = 65 * 60_000

// fewJars is the expected number of jars that counts as none.
const fewJars = 0.5

// verdictOf judges slots first to last-1 as they were filled; nil when nothing is known.
func (b *FillBook) verdictOf(first, last int) *FillVerdict { return b.judge(first, last, false, 0) }

// judge judges slots after everything below cutG was taken out (0: nothing), or as they
// were sorted.
func (b *FillBook) judge(first, last int, sorted bool, cutG float64) *FillVerdict {
	if first >= last || last > len(b.slots) {
		return nil
	}
	s := b.slots[first:last]
	v := &FillVerdict{FromMS: s[0].FromMS, ToMS: s[len(s)-1].ToMS, First: s[0].Check, Last: s[len(s)-1].Check, Counted: true}
	var exact fill.Count
	for i := range s {
		exact = exact.And(s[i].Count)
		v.Counted = v.Counted && s[i].Counted
	}
	if exact.Jars > 0 {
		v.ToMS = min(v.ToMS, b.latest) // an hour at work is not over
		left, err := exact.Without(takenOut(s, exact, sorted, cutG))
		if err != nil {
			return nil
		}
		v.Sorted = left.Jars < exact.Jars
		return b.exactly(v, left)
	}
	made, out, jars := b.made(s, sorted)
	e, err := fill.Estimated(&b.Spec.Tolerance, made, cutG)
	if err != nil {
		return nil
	}
	if sorted && out.units > 0 {
		left := e.Jars - float64(out.units)
		if left <= 0 {
			return nil
		}
		e.MeanG = (e.MassG() - float64(out.grams)) / left
		e.Short = max(0, e.Short-float64(out.short))
		e.Jars = left
		jars -= out.units
	}
	v.Sorted = sorted && out.units > 0 || cutG > 0
	v.Jars = jars
	if cutG > 0 {
		v.Jars = int64(e.Jars + 0.5)
	}
	o, err := b.expect(e)
	if err != nil {
		return nil
	}
	v.MeanG, v.OffG, v.Short, v.Barred, v.Share, v.Most = e.MeanG, e.OffG, b.shortOf(s, cutG), e.Barred, o.Share, o.Most
	if v.Sorted && cutG == 0 {
		v.Short = max(0, v.Short-float64(out.short))
	}
	v.MeanOK, v.ShareOK, v.NoneOK, v.Sure = o.MeanOK, o.ShareOK, o.NoneOK, o.Sure
	return v
}

// shortOf is how many short jars there are to be found, in whole jars of each slot.
func (b *FillBook) shortOf(s []FillSlot, cutG float64) (n float64) {
	for i := range s {
		made, _, _ := b.made(s[i:i+1], false)
		if e, err := fill.Estimated(&b.Spec.Tolerance, made, cutG); err == nil {
			n += math.Round(e.Short)
		}
	}
	return n
}

func (b *FillBook) expect(e fill.Estimate) (fill.Outlook, error) {
	o, err := fill.Expect(b.Spec.Rules, b.Spec.Label, e)
	if err == nil && b.Spec.Minimum { // T1 is the label itself then
		o.Most, o.ShareOK = 0, e.Short < fewJars
		if !o.ShareOK {
			o.Sure = quantity.Fail
		}
	}
	return o, err
}

// exactly judges jars that were all weighed.
func (b *FillBook) exactly(v *FillVerdict, c fill.Count) *FillVerdict {
	var j fill.Verdict
	var err error
	if b.Spec.Minimum {
		j, err = fill.JudgeMinimum(b.Spec.Label, c)
	} else {
		j, err = fill.Judge(b.Spec.Rules, b.Spec.Label, c)
	}
	if err != nil {
		return nil
	}
	v.Jars, v.MeanG, v.Short, v.Barred, v.Share, v.Most = c.Jars, j.MeanG, float64(c.Short), float64(c.Barred), j.Share, j.Most
	v.MeanOK, v.ShareOK, v.NoneOK, v.Exact = j.MeanOK, j.ShareOK, j.NoneOK, true
	v.Sure = quantity.Fail
	if j.Pass() {
		v.Sure = quantity.Pass
	}
	return v
}

// takenOut is what is no longer among jars that were all weighed: everything below T1,
// where a cut is asked for, or what was sorted out by the record. The shortest are
// taken out first.
func takenOut(s []FillSlot, all fill.Count, sorted bool, cutG float64) (out fill.Count) {
	var low fill.Count
	for i := range s {
		low = low.And(s[i].Low)
		if sorted {
			out.Jars, out.Short, out.Sum = out.Jars+s[i].Out.units, out.Short+s[i].Out.short, out.Sum+quantity.Milligram(s[i].Out.grams)*1000
		}
	}
	if cutG > 0 {
		return low
	}
	out.Short = min(out.Short, all.Short)
	out.Barred = min(out.Short, all.Barred)
	out.Under = min(out.Jars, all.Under)
	out.AtT1 = min(out.Jars-min(out.Jars, out.Short), all.AtT1)
	return out
}

// made is the jars of slots as the checks stand for them, and what was sorted out.
func (b *FillBook) made(s []FillSlot, sorted bool) (all []fill.Made, out sortedOut, jars int64) {
	sigma, _ := b.sigma()
	for i := range s {
		x := &s[i]
		n := len(x.Checks)
		if n == 0 || x.Jars == 0 {
			continue
		}
		jars += x.Jars
		for _, c := range x.Checks {
			all = append(all, fill.Made{Jars: float64(x.Jars) / float64(n), MeanG: c.mean, SDG: sigma, Checked: c.n})
		}
		if sorted {
			out.units, out.short, out.grams = out.units+x.Out.units, out.short+x.Out.short, out.grams+x.Out.grams
		}
	}
	return all, out, jars
}

// whole judges the run so far.
func (b *FillBook) whole(sorted bool) *FillVerdict {
	if b.early.count.Jars > 0 {
		v := &FillVerdict{FromMS: b.Spec.StartMS, ToMS: b.latest, Counted: true}
		c := b.early.count
		for i := range b.slots {
			c = c.And(b.slots[i].Count)
		}
		return b.exactly(v, c)
	}
	return b.judge(0, len(b.slots), sorted, 0)
}

// hourFrom is the slot after the last of the hour that begins with slot first.
func (b *FillBook) hourFrom(first int) (last int) {
	for last = first; last < len(b.slots) && (last == first || b.slots[last].ToMS-b.slots[first].FromMS <= hourMS); last++ {
	}
	return last
}

// lastHour are the slots of the last hour.
func (b *FillBook) lastHour() (first, last int) {
	last = len(b.slots)
	for first = max(0, last-1); first > 0 && b.slots[last-1].ToMS-b.slots[first-1].FromMS <= hourMS; first-- {
	}
	return first, last
}

// worstHour are the slots of the hour that stands worst; an hour can begin with every
// slot.
func (b *FillBook) worstHour(sorted bool) (first, last int, worst *FillVerdict) {
	for i := range b.slots {
		j := b.hourFrom(i)
		v := b.judge(i, j, sorted, 0)
		if v == nil {
			continue
		}
		if worst == nil || worse(v, worst) {
			first, last, worst = i, j, v
		}
		if j == len(b.slots) {
			break // what follows is less than an hour
		}
	}
	return first, last, worst
}

// keepBack is the lightest cut that lets an hour pass, as its jars are reckoned to be:
// all below it are taken out. ok is false where none does.
func (b *FillBook) keepBack(first, last int) (cutG float64, rest *FillVerdict, ok bool) {
	low, high := fill.Grams(b.Spec.Tolerance.T1), fill.Grams(b.Spec.Label)
	if rest = b.judge(first, last, false, high); rest == nil || !rest.Pass() {
		return 0, nil, false
	}
	if v := b.judge(first, last, false, low); v != nil && v.Pass() {
		return low, v, true
	}
	for range 40 { // to a thousandth of a milligram
		mid := (low + high) / 2
		if v := b.judge(first, last, false, mid); v != nil && v.Pass() {
			high, rest = mid, v
		} else {
			low = mid
		}
	}
	return high, rest, true
}
