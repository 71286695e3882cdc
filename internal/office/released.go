package office

import (
	"combline/internal/answer"
	"combline/internal/record"
)

// Released says what was set free of a hold, by whom and what for: what may be done
// with it since.
func (v *View) Released(code record.Code) (all []answer.Line) {
	for _, e := range v.Mentions(code) {
		if f, ok := e.Fact.(*record.Released); ok && f.Hold.Fold() != code.Fold() {
			all = append(all, answer.Line{Key: "trace.released", Mark: answer.Care,
				Args: answer.Args{"hold": f.Hold, "who": f.Role, "when": e.When, "reason": f.Reason}})
		}
	}
	return all
}
