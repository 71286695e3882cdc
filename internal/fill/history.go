package fill

// A history keeps the checks since the charts began, in a fixed room: when it is
// full, the older half is told two by two. So the recent past is told check by
// check, the far past in ever longer pieces.
type history struct {
	n    int
	told [historyRoom]piece
}

const historyRoom = 64

// A piece is checks first to last: their weight in 1/g², and their mean distance
// from the centre.
type piece struct {
	first, last int64
	weight      float64
	off         float64 // g
}

func (h *history) add(check int64, off, weight float64) {
	if h.n == historyRoom {
		h.shorten()
	}
	h.told[h.n] = piece{check, check, weight, off}
	h.n++
}

func (h *history) shorten() {
	const half = historyRoom / 2
	for i := range half / 2 {
		h.told[i] = h.told[2*i].and(h.told[2*i+1])
	}
	copy(h.told[half/2:], h.told[half:])
	h.n -= half / 2
}

func (a piece) and(b piece) piece {
	w := a.weight + b.weight
	return piece{a.first, b.last, w, (a.off*a.weight + b.off*b.weight) / w}
}

// when is the middle of a piece, on a scale where check k stands at k.
func (p *piece) when() float64 { return float64(p.first+p.last) / 2 }
