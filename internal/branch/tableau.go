package branch

import (
	"math"
	"slices"
)

// A relaxation is the linear problem of a node, kept as a full tableau. Each row i of
// the problem has a column of its own at the end, its sum r, by a·x − r = 0, so the
// right side is 0 throughout and a row's bounds are r's. It is solved by the dual
// simplex method: the bounds of columns may change at will in between, for with
// costs unchanged a basis that was optimal stays dual feasible (a column with two
// bounds can be put at the better of them).
type relaxation struct {
	rows, columns int       // columns count the row sums
	matrix        []float64 // rows × columns
	cost          []float64
	low, high     []float64
	tableau       []float64 // (rows+1) × columns; the last row is the reduced costs
	at            []float64 // each column's value
	basis         []int     // the basic column of each row
	row           []int     // the row where a column is basic, or −1
	pivots        int       // since the tableau was last made from the matrix
	spent         *int64    // figures of tableaus changed, by this and others of its search

	passed []int // room for the ratio test
	ways   []way
	placed []int // room for the columns outside the basis that are not 0
	entry  []int // room for a pivot: columns with a figure in its row
}

func newRelaxation(rows, columns int, spent *int64) *relaxation {
	p := &relaxation{rows: rows, columns: columns, spent: spent}
	p.matrix = make([]float64, rows*columns)
	p.tableau = make([]float64, (rows+1)*columns)
	p.cost, p.low, p.high = make([]float64, columns), make([]float64, columns), make([]float64, columns)
	p.at = make([]float64, columns)
	p.basis, p.row = make([]int, rows), make([]int, columns)
	for i := range rows {
		p.matrix[i*columns+columns-rows+i] = -1
	}
	return p
}

// copyFrom makes p the same as q, which has the same size and the same matrix.
func (p *relaxation) copyFrom(q *relaxation) {
	copy(p.low, q.low)
	copy(p.high, q.high)
	copy(p.tableau, q.tableau)
	copy(p.at, q.at)
	copy(p.basis, q.basis)
	copy(p.row, q.row)
	p.pivots = q.pivots
}

func (p *relaxation) reduced() []float64 { return p.tableau[p.rows*p.columns:] }

// begin makes the tableau whose basic columns are the row sums.
func (p *relaxation) begin() {
	sums := p.columns - p.rows
	for i := range p.rows {
		p.basis[i] = sums + i
	}
	p.rebuild()
}

// rebuild makes the tableau of the basis from the matrix. Where basic columns depend
// on each other a row sum takes the place of one.
func (p *relaxation) rebuild() {
	n, sums := p.columns, p.columns-p.rows
	for i, v := range p.matrix {
		p.tableau[i] = -v
	}
	copy(p.reduced(), p.cost)
	wanted := slices.Clone(p.basis)
	for j := range p.row {
		p.row[j] = -1
	}
	for i := range p.rows {
		p.basis[i] = sums + i
		p.row[sums+i] = i
	}
	keep := make([]bool, p.rows) // rows whose own sum is wanted
	for _, j := range wanted {
		if j >= sums {
			keep[j-sums] = true
		}
	}
	for _, j := range wanted {
		if j >= sums {
			continue
		}
		best, size := -1, pivotLeast
		for i := range p.rows {
			if v := math.Abs(p.tableau[i*n+j]); !keep[i] && v > size {
				best, size = i, v
			}
		}
		if best >= 0 {
			p.pivot(best, j)
			keep[best] = true
		}
	}
	p.pivots = 0
}

// perPivot is what choosing a pivot costs besides, in figures changed.
const perPivot = 2000

// pivot makes column q basic in row r.
func (p *relaxation) pivot(r, q int) {
	n := p.columns
	line := p.tableau[r*n : r*n+n]
	inverse := 1 / line[q]
	p.entry = p.entry[:0]
	for j, v := range line {
		if v != 0 {
			if v *= inverse; math.Abs(v) < dropFigures {
				v = 0
			} else {
				p.entry = append(p.entry, j)
			}
			line[j] = v
		}
	}
	for i := range p.rows + 1 {
		if i == r {
			continue
		}
		other := p.tableau[i*n : i*n+n]
		f := other[q]
		if f == 0 {
			continue
		}
		for _, j := range p.entry {
			other[j] -= f * line[j]
		}
		*p.spent += int64(len(p.entry))
		other[q] = 0
	}
	line[q] = 1
	*p.spent += perPivot
	p.row[p.basis[r]] = -1
	p.basis[r], p.row[q] = q, r
	p.pivots++
}
