package fill

import "math/bits"

// A Signal is a set of what a check's point says, by its meaning.
type Signal uint32

const (
	MeanLow    Signal = 1 << iota // mean of the check under its lower line
	MeanHigh                      // mean over its upper line
	DriftLow                      // cumulative sum: the nozzle went down and stays down
	DriftHigh                     // the nozzle went up and stays up
	WanderLow                     // moving average under its line
	WanderHigh                    // moving average over its line
	SpreadHigh                    // jars of the check differ more than they should
	SpreadLow                     // jars differ less than they can: is the scale read well?
	NearLimit                     // two of three means beyond two thirds of the way, one side
	OffCentre                     // four of five means beyond one third of the way, one side
	OneSide                       // eight means in a row on one side of the centre
	Trend                         // six means in a row rising, or falling
	SeeSaw                        // fourteen means in a row up and down in turn
	TooQuiet                      // fifteen means in a row within one third of the way
	Wild                          // a jar that no filling explains: empty, spilt, misread
	Learning                      // centre or spread not known yet: nothing is said
)

// Alarms are the signals to act on at once; the others are reasons to look.
const Alarms = MeanLow | MeanHigh | DriftLow | DriftHigh

// Low and High are the signals of one side.
const (
	Low  = MeanLow | DriftLow | WanderLow
	High = MeanHigh | DriftHigh | WanderHigh
)

var signalNames = [...]string{"mean-low", "mean-high", "drift-low", "drift-high", "wander-low", "wander-high", "spread-high", "spread-low",
	"near-limit", "off-centre", "one-side", "trend", "see-saw", "too-quiet", "wild", "learning"}

// Has reports whether any of those signals is in s.
func (s Signal) Has(any Signal) bool { return s&any != 0 }

// Alarm reports whether s has a signal to act on.
func (s Signal) Alarm() bool { return s.Has(Alarms) }

// Names lists the signals by their keys, in the order declared.
func (s Signal) Names() []string {
	var names []string
	for ; s != 0; s &= s - 1 {
		if i := bits.TrailingZeros32(uint32(s)); i < len(signalNames) {
			names = append(names, signalNames[i])
		}
	}
	return names
}
