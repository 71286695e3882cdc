package reckon

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
)

// An object is JSON whose keys keep their order.
type object []member

type member struct {
	key   string
	value any
}

func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		k, err := json.Marshal(m.key)
		if err != nil {
			return nil, err
		}
		v, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(k)
		b.WriteByte(':')
		b.Write(v)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// writeJSON prints the answer for programs. Without an answer its columns are null
// and "cannot" says why.
func writeJSON(w io.Writer, q *Query, no error) error {
	o := object{{"subject", q.subject.Name}, {"given", q.given()}}
	doubt := object{}
	for i, a := range q.subject.Answers {
		o = append(o, member{a.Name, q.out[i].json(a.Kind)})
		if !math.IsNaN(q.low[i]) {
			doubt = append(doubt, member{a.Name, object{{"low", q.low[i]}, {"high", q.high[i]}, {"chance", 0.9}}})
		}
	}
	if no != nil {
		o = append(o, member{"cannot", q.sentence(no)})
	}
	doubt = append(doubt, member{"text", q.subject.doubt()})
	o = append(o, member{"doubt", doubt}, member{"range", q.subject.validRange()}, member{"source", q.sources()})
	for _, m := range []member{{"ask", q.ask()}, {"mind", q.subject.Caution}} {
		if m.value != "" {
			o = append(o, m)
		}
	}
	if len(q.notes) > 0 {
		o = append(o, member{"notes", q.notes})
	}
	b, err := json.MarshalIndent(o, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(b, '\n'))
	return err
}

func (q *Query) given() object {
	o := object{}
	for i, in := range q.subject.Inputs {
		if q.in[i].given {
			o = append(o, member{in.Name, q.in[i].json(in.Kind)})
		}
	}
	return o
}

func (v value) json(k Kind) any {
	switch {
	case !v.given:
		return nil
	case k == Truth:
		return v.word == "yes"
	case k == Rows:
		return v.rows.objects()
	case k == Word || k == Text || k == File:
		return v.word
	}
	return v.number
}
