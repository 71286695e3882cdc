package office

import "combline/internal/record"

// ContentShown names what a code stands for now, and what has happened to it: a form
// sends it back, and is asked again when it changed meanwhile.
func (v *View) ContentShown(code record.Code) record.Code {
	t, ok := v.State.Find(code)
	if !ok {
		return ""
	}
	if x, ok := v.State.Vessel(t); ok {
		return v.State.ContentID(x.Node)
	}
	roots := v.State.RootsOf(code)
	if len(roots) != 1 {
		return ""
	}
	return v.State.ContentID(roots[0])
}
