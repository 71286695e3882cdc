package house

import "combline/internal/answer"

// A Refusal says that a fact can't be taken as it stands. It is safe to show: the
// key and the figures make the sentence in package words, Next says what to do.
type Refusal struct {
	Key  string
	Args answer.Args
	Next string // key of the next step
}

func (r *Refusal) Error() string { return r.Key + argText(r.Args) }

// An Ask is a question that must be answered with yes before a fact is taken: it
// could be right, and looks like a slip. Its ID goes back with the answer.
type Ask struct {
	ID   string
	Key  string
	Args answer.Args
}

// Asks are questions that nobody has answered yet. Nothing was recorded.
type Asks []Ask

func (a Asks) Error() string {
	s := "asked back:"
	for _, q := range a {
		s += " " + q.Key + argText(q.Args)
	}
	return s
}
