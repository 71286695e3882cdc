package split

import (
	"math"
	"slices"

	"combline/internal/linear"
)

// A part is what of a model hangs together without the shared rows: an order with its
// pairs of lots.
type part struct {
	columns []int // of the whole model
	model   linear.Model
	share   []share // what its columns take of shared rows
}

// A share is what one of a column takes of a shared row.
type share struct {
	row    int // place in whole.shared
	column int // of the part
	value  float64
}

// whole is a model taken apart.
type whole struct {
	m      *linear.Model
	parts  []part
	shared []int     // rows of m
	stock  []float64 // their upper bounds
}

// takeApart finds the parts. A row that only takes (no coefficient under 0, no lower
// bound that matters) may be shared; one that then stays within a part is the part's.
func takeApart(m *linear.Model) *whole {
	w := &whole{m: m}
	columns := rowColumns(m)
	may := make([]bool, len(m.Rows))
	for i := range m.Rows {
		may[i] = takesOnly(m, i, columns[i])
	}
	group := groups(m, columns, may)
	at := map[int]int{} // part of each group
	local := make([]int, len(m.Columns))
	for j, g := range group {
		k, ok := at[g]
		if !ok {
			k = len(w.parts)
			at[g] = k
			w.parts = append(w.parts, part{})
		}
		local[j] = len(w.parts[k].columns)
		w.parts[k].columns = append(w.parts[k].columns, j)
	}
	w.fill(columns, local, func(j int) int { return at[group[j]] })
	return w
}

// Parts is how many parts a model falls into when what they share is taken away.
func Parts(m *linear.Model) int { return len(takeApart(m).parts) }

func rowColumns(m *linear.Model) [][]linear.Term {
	rows := make([][]linear.Term, len(m.Rows))
	for j := range m.Columns {
		for _, e := range m.Columns[j].Entries {
			if e.Value != 0 {
				rows[e.Row] = append(rows[e.Row], linear.Term{Column: j, Value: e.Value})
			}
		}
	}
	return rows
}

func takesOnly(m *linear.Model, row int, terms []linear.Term) bool {
	least := 0.0
	for _, t := range terms {
		if t.Value < 0 || m.Columns[t.Column].Low < 0 {
			return false
		}
		least += t.Value * m.Columns[t.Column].Low
	}
	return len(terms) > 0 && m.Rows[row].Low <= least && !math.IsInf(m.Rows[row].High, 1)
}

// groups says of each column which group it is in, by the group's first column.
func groups(m *linear.Model, rows [][]linear.Term, may []bool) []int {
	head := make([]int, len(m.Columns))
	for j := range head {
		head[j] = j
	}
	find := func(j int) int {
		for head[j] != j {
			head[j] = head[head[j]]
			j = head[j]
		}
		return j
	}
	for i, terms := range rows {
		for _, t := range terms {
			if !may[i] {
				a, b := find(terms[0].Column), find(t.Column)
				head[max(a, b)] = min(a, b)
			}
		}
	}
	for j := range head {
		head[j] = find(j)
	}
	return head
}

// fill gives each part its columns and rows, and lists what is shared.
func (w *whole) fill(columns [][]linear.Term, local []int, of func(int) int) {
	m := w.m
	for j, c := range m.Columns {
		c.Entries = nil
		w.parts[of(j)].model.AddColumn(c)
	}
	for i, terms := range columns {
		touched := []int{}
		for _, t := range terms {
			if k := of(t.Column); !slices.Contains(touched, k) {
				touched = append(touched, k)
			}
		}
		switch len(touched) {
		case 0:
		case 1:
			own := make([]linear.Term, len(terms))
			for n, t := range terms {
				own[n] = linear.Term{Column: local[t.Column], Value: t.Value}
			}
			w.parts[touched[0]].model.AddRow(m.Rows[i], own...)
		default:
			for _, t := range terms {
				p := &w.parts[of(t.Column)]
				p.share = append(p.share, share{len(w.shared), local[t.Column], t.Value})
			}
			w.shared, w.stock = append(w.shared, i), append(w.stock, m.Rows[i].High)
		}
	}
	for k := range w.parts {
		p := &w.parts[k]
		if m.Start != nil {
			p.model.Start = p.of(m.Start)
		}
	}
}

// of picks the part's figures out of the whole's.
func (p *part) of(values []float64) []float64 {
	own := make([]float64, len(p.columns))
	for n, j := range p.columns {
		own[n] = values[j]
	}
	return own
}

// with is the part's model with prices on what it takes, and no more of each shared
// row than is left.
func (p *part) with(prices, left []float64) linear.Model {
	m := p.model.Clone()
	rows := map[int][]linear.Term{}
	var order []int
	for _, s := range p.share {
		if prices != nil {
			m.Columns[s.column].Cost += prices[s.row] * s.value
		}
		if rows[s.row] == nil {
			order = append(order, s.row)
		}
		rows[s.row] = append(rows[s.row], linear.Term{Column: s.column, Value: s.value})
	}
	for _, r := range order {
		m.AddRow(linear.Row{Low: math.Inf(-1), High: left[r]}, rows[r]...)
	}
	return m
}

// samePrices reports whether two sets of prices are the same to the part.
func (p *part) samePrices(a, b []float64) bool {
	for _, s := range p.share {
		if a[s.row] != b[s.row] {
			return false
		}
	}
	return true
}
