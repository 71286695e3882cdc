package office

import "combline/internal/quantity"

// givenOrNil is a figure as it was typed; nil when there is none.
func givenOrNil(f quantity.Figure) any {
	if !f.Given() {
		return nil
	}
	return f
}
