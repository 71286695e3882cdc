package chain

// A Loss is a range of facts that had been acknowledged and are gone: the
// house went on from an older back-up, or from what a damaged disk had left.
// Numbers given out by those facts may stand on paper, so a number series
// skips past them.
type Loss struct {
	After Head // the last fact that was left when the loss was accepted
	To    Head // the last acknowledged fact, as the witness kept it
}

// From is the first lost fact's sequence number; To.Seq is the last one's.
func (l Loss) From() uint64 { return l.After.Seq + 1 }
