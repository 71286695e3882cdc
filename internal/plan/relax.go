package plan

import (
	"math"
	"slices"

	"combline/internal/linear"
)

// The bound comes from a linear model in which every job takes one of its options, a way
// at a start, or is left out (time-indexed: Pritsker, Watters and Wolfe, Management
// Science 16, 1969, 93–108; Sousa and Wolsey, Mathematical Programming 54, 1992,
// 353–367; both cited from memory). Its rows say what jobs share: every pool of
// resources in every half-hour in which a use can begin, for all others hold no more;
// every stock until it next comes; jobs that wait for others; and for a line with rules
// of sequence what it is set for, see sequence.go. What is left out can only make plans
// dearer: settings of a room, and which tank of several.

// A relaxation is a problem as a linear model.
type relaxation struct {
	d      *desk
	begun  *book
	alive  [][]int32 // by job, its options that are in the model
	leave  []bool    // by job: it may be left out
	model  linear.Model
	job    []int   // by column; −1: not of a job
	option []int32 // by column; −1: left out
	pools  []pool
	stocks []stockRows
	lines  []lineRows
	one    int             // row: all jobs
	sum    map[int]float64 // of the column in the making, by row
}

// A pool is a set of resources of which uses take, with a row for each time at which a
// use of it can begin.
type pool struct {
	set     []int // sorted
	counted bool  // all single: uses are counted, not their amounts
	size    float64
	times   []Half
	row     int // of the first time; −1: the lines' rows say it all
}

// stockRows are the rows of a stock: what may be gone before each time that more comes,
// and at the end.
type stockRows struct {
	stock int
	row   int
	until []Half
	size  float64
}

const endless = Half(1 << 30)

// relax writes the model of the options that are alive.
func (d *desk) relax(alive [][]int32, leave []bool) *relaxation {
	r := &relaxation{d: d, begun: newBook(d.p), alive: alive, leave: leave, sum: map[int]float64{}}
	for job := range d.p.Jobs {
		switch {
		case d.p.Jobs[job].Begun != nil:
			r.begun.force(job, d.opts[job][0])
			r.model.Offset += float64(d.opts[job][0].cost)
		case len(d.opts[job]) == 0:
			r.model.Offset += float64(d.unmet[job])
		}
	}
	r.addPools()
	r.addStocks()
	first := len(r.model.Rows)
	for _, job := range d.movable {
		r.model.AddRow(linear.Row{Name: d.p.Jobs[job].Name, Low: 1, High: 1})
	}
	waits := r.addWaits()
	// Together they make each row of one job: this keeps the model in one piece, for
	// apart its jobs are easy and say little.
	n := float64(len(r.d.movable))
	r.one = r.model.AddRow(linear.Row{Name: "jobs", Low: n, High: n})
	for i, job := range d.movable {
		for _, o := range alive[job] {
			r.addOption(job, o, first+i, waits)
		}
		if leave[job] {
			r.sum[first+i], r.sum[r.one] = 1, 1
			r.addColumn(job, -1, float64(d.unmet[job]))
		}
	}
	for k := range r.lines {
		r.addSequence(&r.lines[k])
	}
	return r
}

// addColumn adds a job's column with the entries gathered in sum.
func (r *relaxation) addColumn(job int, o int32, cost float64) {
	var entries []linear.Entry
	for row, v := range r.sum {
		entries = append(entries, linear.Entry{Row: row, Value: v})
	}
	clear(r.sum)
	slices.SortFunc(entries, func(a, b linear.Entry) int { return a.Row - b.Row })
	r.model.AddColumn(linear.Column{Cost: cost, High: 1, Whole: true, Entries: entries})
	r.job, r.option = append(r.job, job), append(r.option, o)
}

func (r *relaxation) addOption(job int, o int32, row int, waits []waitRows) {
	opt := r.d.opts[job][o]
	w := &r.d.p.Jobs[job].Ways[opt.way]
	for i := range w.Uses {
		r.enterUse(job, &w.Uses[i], opt.start)
	}
	r.enterTakes(w, opt.start)
	for k := range waits {
		waits[k].enter(r, job, opt.start, opt.start+w.Done)
	}
	r.sum[row], r.sum[r.one] = 1, 1
	r.addColumn(job, o, float64(opt.cost))
}

// enterUse adds a use to the rows of each pool that holds all that it could be on.
func (r *relaxation) enterUse(job int, u *Use, start Half) {
	from, to := start+u.From, start+u.To
	for k := range r.pools {
		p := &r.pools[k]
		if p.row < 0 || !holds(p.set, u.Any) {
			continue
		}
		amount := float64(u.count()) * float64(u.Amount)
		if p.counted {
			amount = float64(u.count())
		}
		i, _ := slices.BinarySearch(p.times, from)
		for ; i < len(p.times) && p.times[i] < to; i++ {
			r.sum[p.row+i] += amount / p.size
		}
	}
	for k := range r.lines {
		r.lines[k].enter(r, job, u, from, to)
	}
}

func holds(set, any []int) bool {
	return !slices.ContainsFunc(any, func(x int) bool { _, in := slices.BinarySearch(set, x); return !in })
}

func (r *relaxation) enterTakes(w *Way, start Half) {
	for k := range r.stocks {
		s := &r.stocks[k]
		whole := r.d.p.Stocks[s.stock].Whole
		for _, t := range w.Takes {
			if t.Stock != s.stock || whole && t.Amount <= 0 {
				continue
			}
			if whole {
				r.sum[s.row] = 1
				continue
			}
			for i, until := range s.until {
				if max(0, start+t.At) < until {
					r.sum[s.row+i] += float64(t.Amount) / s.size
				}
			}
		}
	}
}

// each calls back for the uses of the options that are alive.
func (r *relaxation) each(back func(job int, u *Use, start Half)) {
	for _, job := range r.d.movable {
		for _, o := range r.alive[job] {
			opt := r.d.opts[job][o]
			uses := r.d.p.Jobs[job].Ways[opt.way].Uses
			for i := range uses {
				back(job, &uses[i], opt.start)
			}
		}
	}
}

// addPools adds the rows of every choice of resources that some use has.
func (r *relaxation) addPools() {
	starts := map[int]map[Half]bool{}
	r.each(func(_ int, u *Use, start Half) {
		set := slices.Sorted(slices.Values(u.Any))
		k := slices.IndexFunc(r.pools, func(p pool) bool { return slices.Equal(p.set, set) })
		if k < 0 {
			k = len(r.pools)
			r.pools = append(r.pools, pool{set: set})
		}
		if starts[k] == nil {
			starts[k] = map[Half]bool{}
		}
		starts[k][start+u.From] = true
	})
	for k := range r.pools {
		times := map[Half]bool{}
		for l := range r.pools { // the uses of a smaller choice are in it too
			if holds(r.pools[k].set, r.pools[l].set) {
				for t := range starts[l] {
					times[t] = true
				}
			}
		}
		for t := range times {
			r.pools[k].times = append(r.pools[k].times, t)
		}
		slices.Sort(r.pools[k].times)
		if set := r.pools[k].set; len(set) == 1 && r.sequenced(set[0]) {
			r.pools[k].row = -1
			r.addLine(set[0], r.pools[k].times)
			continue
		}
		r.addPool(&r.pools[k])
	}
}

// addPool adds the rows of a set: how much of it there is beside the begun jobs.
func (r *relaxation) addPool(p *pool) {
	res := r.d.p.Resources
	p.counted = !slices.ContainsFunc(p.set, func(k int) bool { return !res[k].Single })
	room := make([]float64, len(p.times))
	p.size = 1
	for i, t := range p.times {
		for _, k := range p.set {
			left := max(0, r.begun.left[k][t])
			if res[k].Single && slices.ContainsFunc(r.begun.runs[k], func(b booking) bool { return b.from <= t && t < b.to }) {
				left = 0
			}
			if p.counted {
				left = min(left, 1)
			}
			room[i] += float64(left)
		}
		p.size = max(p.size, room[i])
	}
	p.row = len(r.model.Rows)
	for _, x := range room {
		r.model.AddRow(linear.Row{Low: math.Inf(-1), High: x / p.size})
	}
}

// addStocks adds the rows of the stocks that could run short.
func (r *relaxation) addStocks() {
	p := r.d.p
	wanted, asking, gives := make([]int64, len(p.Stocks)), make([]int, len(p.Stocks)), make([]bool, len(p.Stocks))
	for _, job := range r.d.movable {
		most := map[int]int64{}
		for _, w := range p.Jobs[job].Ways {
			sum := map[int]int64{}
			for _, t := range w.Takes {
				sum[t.Stock] += max(0, t.Amount)
				gives[t.Stock] = gives[t.Stock] || t.Amount < 0
			}
			for s, n := range sum {
				most[s] = max(most[s], n)
			}
		}
		for s, n := range most {
			wanted[s] += n
			asking[s]++
		}
	}
	for s := range p.Stocks {
		least, _ := r.begun.least(s, 0)
		switch {
		case p.Stocks[s].Whole && (asking[s] > 1 || asking[s] > 0 && len(r.begun.owner[s]) > 0):
			r.addWhole(s)
		case !p.Stocks[s].Whole && asking[s] > 0 && (gives[s] || wanted[s] > least):
			r.addStock(s)
		}
	}
}

// addWhole adds the row of a whole drum: for one job.
func (r *relaxation) addWhole(s int) {
	have := 1.0
	if len(r.begun.owner[s]) > 0 {
		have = 0
	}
	r.stocks = append(r.stocks, stockRows{stock: s, row: len(r.model.Rows), until: []Half{endless}, size: 1})
	r.model.AddRow(linear.Row{Low: math.Inf(-1), High: have})
}

func (r *relaxation) addStock(s int) {
	rows := stockRows{stock: s, row: len(r.model.Rows), size: 1}
	room, level := []float64{}, int64(0)
	events := r.begun.level[s]
	if len(events) == 0 || events[0].at > 0 {
		rows.until, room = append(rows.until, endless), append(room, 0)
		if len(events) > 0 {
			rows.until[0] = events[0].at
		}
	}
	for i, e := range events {
		level += e.amount
		switch {
		case i+1 == len(events):
			rows.until, room = append(rows.until, endless), append(room, float64(max(0, level)))
		case events[i+1].at > e.at:
			rows.until, room = append(rows.until, events[i+1].at), append(room, float64(max(0, level)))
		}
	}
	for _, x := range room {
		rows.size = max(rows.size, x)
	}
	for _, x := range room {
		r.model.AddRow(linear.Row{Low: math.Inf(-1), High: x / rows.size})
	}
	r.stocks = append(r.stocks, rows)
}

// waitRows are the rows of a job that waits for another: by each time at which it can
// start, it has started at most as often as the other was done.
type waitRows struct {
	job, before int
	lag         Half
	row         int
	times       []Half
}

func (r *relaxation) addWaits() []waitRows {
	var all []waitRows
	for _, job := range r.d.movable {
		for _, a := range r.d.p.Jobs[job].After {
			if !slices.Contains(r.d.movable, a.Job) {
				continue
			}
			w := waitRows{job: job, before: a.Job, lag: a.Lag, row: len(r.model.Rows)}
			for _, o := range r.alive[job] {
				w.times = append(w.times, r.d.opts[job][o].start)
			}
			slices.Sort(w.times)
			w.times = slices.Compact(w.times)
			for range w.times {
				r.model.AddRow(linear.Row{Low: math.Inf(-1), High: 0})
			}
			all = append(all, w)
		}
	}
	return all
}

func (w *waitRows) enter(r *relaxation, job int, start, done Half) {
	for i, t := range w.times {
		if job == w.job && start <= t {
			r.sum[w.row+i]++
		}
		if job == w.before && done+w.lag <= t {
			r.sum[w.row+i]--
		}
	}
}
