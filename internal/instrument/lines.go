package instrument

import "bytes"

// mostLine is longer than any frame of a scale.
const mostLine = 1024

// A splitter cuts a stream of bytes into lines: they end with a line feed, a carriage
// return, both, or the sign for end of text; the sign for start of text begins one anew.
// Empty lines are passed over. The zero splitter is ready.
type splitter struct {
	half    []byte // of a line whose end has not come
	skipped bool   // the line at work is too long
}

const (
	startOfText = 0x02
	endOfText   = 0x03
)

var lineEnds = [256]bool{'\n': true, '\r': true, endOfText: true, startOfText: true}

// feed gives every whole line; it must not be kept. fault tells what was passed over.
func (s *splitter) feed(b []byte, line func([]byte) error, fault func(Fault)) error {
	for len(b) > 0 {
		n := 0
		for n < len(b) && !lineEnds[b[n]] {
			n++
		}
		if n == len(b) {
			s.keep(b, fault)
			return nil
		}
		whole, end := b[:n], b[n]
		b = b[n+1:]
		if len(s.half) > 0 || s.skipped {
			s.keep(whole, fault)
			whole = s.half
			s.half = s.half[:0]
		} else if len(whole) > mostLine {
			s.keep(whole, fault)
			whole = nil
		}
		was := s.skipped
		s.skipped = false
		if was || len(whole) == 0 {
			continue
		}
		if end == startOfText { // a frame that broke off before the next began
			fault(CutShort)
			continue
		}
		if err := line(whole); err != nil {
			return err
		}
	}
	return nil
}

func (s *splitter) keep(b []byte, fault func(Fault)) {
	if s.skipped {
		return
	}
	if len(s.half)+len(b) > mostLine {
		s.half, s.skipped = s.half[:0], true
		fault(TooLong)
		return
	}
	s.half = append(s.half, b...)
}

// end closes the last line of a file; where a link broke, cut drops it.
func (s *splitter) end(line func([]byte) error) error {
	last := bytes.Clone(s.half)
	s.half, s.skipped = s.half[:0], false
	if len(last) == 0 {
		return nil
	}
	return line(last)
}

func (s *splitter) cut(fault func(Fault)) {
	if len(s.half) > 0 {
		fault(CutShort)
	}
	s.half, s.skipped = s.half[:0], false
}
