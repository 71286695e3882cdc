// Package plan puts a house's work in time: which job is done in which way, from which
// half-hour, on which tank, line and hands, with which honey and materials. It knows
// nothing of a house; who maps one into a [Problem] says what everything means.
//
// Time is counted in half-hours from the plan's start. A [Job] is done in one of its
// ways or not at all; a [Way] is a rigid block of uses and takes at fixed distances from
// its start. [Check] tells what is wrong with a plan and shares nothing with the search
// but the problem. [Quick] finds a plan at once, [Search] makes it better and proves how
// much better any plan could be. All is whole numbers and nothing here reads a clock:
// same problem and same number of steps, same plan.
package plan

import q "combline/internal/quantity"

// Half is a time or a span in half-hours from the plan's start; below zero before it.
type Half int

// Day is the half-hours of a day.
const Day Half = 48

// A Problem is what is to be planned.
type Problem struct {
	Horizon   Half // no use reaches past it; 14 days are 672
	Midnight  Half // half-hours from the last midnight to the plan's start
	Resources []Resource
	Stocks    []Stock
	Jobs      []Job
	Move      q.MoneyCents // of a job that is not where the plan before had it
}

// A Resource is what work needs for a while and gives back: places in the warming room,
// a bath, a tank, a line, hands of one skill.
type Resource struct {
	Name string
	Kind Kind
	// Capacity by time: places, people, or grams of a tank. Each step holds from its
	// time on; before the first there is none. Broken, on hold, closed: a step of 0.
	Capacity []Step
	// Single is for what holds one content or one run at a time, however small: a tank,
	// a bath, a line. A use then asks for an amount of at most the capacity.
	Single bool
	// OneSetting is for a room that has one temperature: uses that overlap in time must
	// have the same Setting.
	OneSetting bool
	// Changes are the rules of a line's sequence, Changes[f][g] from a run of family f to
	// the next run of family g, nil for none. Only for Single.
	Changes [][]Change
	// Family is what last ran on the line before the plan's start, with its end at Ended
	// (zero or less); −1: nothing or not known, no change is charged.
	Family int
	Ended  Half
}

// Kind says what a resource is, for words only.
type Kind string

// Kinds of resources. A house may have others.
const (
	Room   Kind = "room"
	Bath   Kind = "bath"
	Tank   Kind = "tank"
	Line   Kind = "line"
	People Kind = "people"
)

// A Step is a capacity from a time on.
type Step struct {
	From   Half
	Amount int64
}

// A Change is what a line needs between two runs.
type Change struct {
	Least   Half         // half-hours from the end of the one to the start of the other
	NextDay bool         // the other starts on a later day at the earliest (allergens last)
	Cost    q.MoneyCents // honey and wages that the change takes
}

// A Stock is what is used up: jars, lids, a drum, honey of one kind.
type Stock struct {
	Name  string
	Honey bool
	Held  bool // on hold: nothing is ever taken, a way that takes of it is never done
	Whole bool // for one job only, even if something is left: an opened drum
	// Comes is what there is and what is to come, by time; what is on hand comes at 0.
	Comes []Step
}

// A Job is an order's line, or a batch that the house wants.
type Job struct {
	Name    string
	Ways    []Way
	Release Half         // not begun before
	Due     Half         // done by then, or it is late
	Late    q.MoneyCents // for each half-hour that it is late
	Units   int64        // wanted
	Unmet   q.MoneyCents // if nothing of it is done; in parts for a way of fewer units
	After   []After
	Was     *Was   // where the plan before had it
	Begun   *Begun // under way already: stays as it is
}

// After says that a job waits for another: it starts Lag or more after the other is done.
// If the other is not done in the plan, nor is this one.
type After struct {
	Job int
	Lag Half
}

// Was is where the plan before had a job. Keeping both costs nothing; another start or
// another way costs the problem's Move, and so does leaving the job out.
type Was struct {
	Way   string // by name
	Start Half   // counted from this plan's start
	Done  Half   // tells ways of one name and start apart; 0: any of them
}

// is reports whether a way at a start is where the plan before had the job.
func (was *Was) is(w *Way, start Half) bool {
	return was.Way == w.Name && was.Start == start && (was.Done == 0 || was.Done == start+w.Done)
}

// Begun is where a job stands that can't be moved any more. Start may be below zero; a
// use's part before the plan's start is past and asks for nothing.
type Begun struct {
	Way   int
	Start Half
	On    [][]int // as in [Spot]; nil: the first of each use's resources
}

// A Way is a rigid block: one recipe, one tank size, one length of run. All times in it
// count from the block's start.
type Way struct {
	Name   string
	Why    string // a key or words of the caller's; not read here
	Starts []Half // allowed starts, rising; nil: any
	Uses   []Use
	Takes  []Take
	Done   Half         // when its units are ready to go
	Units  int64        // what it yields
	Cost   q.MoneyCents // honey, energy, wages: all that comes with this way
}

// A Use is a part of one or several resources for a while, from From up to, not with, To.
type Use struct {
	Name     string
	Any      []int // resources that would do
	Count    int   // how many of them, each with Amount; 0 counts as 1
	Amount   int64
	From, To Half
	Family   int // of the run, for the sequence on a line with Changes
	Setting  int // for a resource with OneSetting
}

// A Take is what is used up of a stock at a time; below zero: what the way adds to it.
// At may lie before the block's start, for stuff that must be on the floor by then; what
// a begun job took before the plan's start is past.
type Take struct {
	Stock  int
	Amount int64
	At     Half
}

// A Plan says for each job where it stands, or that it is not done.
type Plan struct {
	Spots []Spot // of the jobs that are done, by job
	Unmet []int  // jobs that are not, rising
	Cost  Cost
}

// A Spot is a job's place in the plan.
type Spot struct {
	Job, Way int
	Start    Half
	On       [][]int // for each use of the way, the resources taken, rising
	Done     Half
	Late     Half // 0 if in time
}

// A Cost is what a plan costs, by cause. All that is decided is in it and nothing else.
type Cost struct {
	Ways    q.MoneyCents // of the ways that were chosen
	Late    q.MoneyCents
	Unmet   q.MoneyCents // jobs and parts of jobs that are not done
	Changes q.MoneyCents // on the lines, from run to run
	Moved   q.MoneyCents // against the plan before
}

// Sum is the whole cost.
func (c Cost) Sum() q.MoneyCents { return c.Ways + c.Late + c.Unmet + c.Changes + c.Moved }

// Spot returns the spot of a job; false if it is not done.
func (p *Plan) Spot(job int) (Spot, bool) {
	for _, s := range p.Spots {
		if s.Job == job {
			return s, true
		}
	}
	return Spot{}, false
}

// dayOf counts days from the one in which the plan starts.
func (p *Problem) dayOf(t Half) int {
	t += p.Midnight
	if t < 0 {
		t -= Day - 1
	}
	return int(t / Day)
}

func (u *Use) count() int { return max(1, u.Count) }

// at is a capacity at a time.
func at(steps []Step, t Half) int64 {
	var have int64
	for _, s := range steps {
		if s.From > t {
			break
		}
		have = s.Amount
	}
	return have
}
