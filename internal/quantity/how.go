package quantity

import "fmt"

// How says how a figure is known. The four look different on every page.
type How uint8

const (
	HowUnknown How = iota
	Weighed        // read by or from an instrument
	Typed          // typed by a person from a reading or a paper
	Estimated      // judged by eye or rule of thumb
	Calculated     // worked out from other figures, then recorded
)

var hows = [...]string{"unknown", "weighed", "typed", "estimated", "calculated"}

// String is h's name in exports and keys; package words has what people read.
func (h How) String() string {
	if int(h) >= len(hows) {
		return fmt.Sprintf("how(%d)", uint8(h))
	}
	return hows[h]
}

// Valid reports whether h is one of the ways above.
func (h How) Valid() bool { return int(h) < len(hows) }

// ParseHow reads a name that [How.String] gives.
func ParseHow(name string) (How, error) {
	for h, s := range hows {
		if s == name {
			return How(h), nil
		}
	}
	return HowUnknown, fmt.Errorf("%q is not a way to know a figure; want one of %q", name, hows)
}
