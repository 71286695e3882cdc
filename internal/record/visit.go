package record

import "encoding/json"

// Visit shows every field of a fact that is there, in order.
func Visit(fact Fact, see func(Field)) { fact.fields(&form{mode: seeing, see: see}) }

// Names tells every code that a fact bears, in order: whether it names something
// new, and what it may name. It is the quick way to what [Visit] shows in full.
func Names(fact Fact, tell func(c Code, fresh bool, of []Entity)) {
	fact.fields(&form{mode: naming, name: tell})
}

// Schema lists the fields that a fact of kind k may have; those of list members
// once, with the list's name before them.
func Schema(k Kind) []Field {
	var all []Field
	New(k).fields(&form{mode: seeing, schema: true, see: func(f Field) { all = append(all, f) }})
	return all
}

// JSON returns the fact's kind and fields in readable form. The bytes, not this,
// are the record.
func JSON(fact Fact) json.RawMessage {
	o := &object{}
	o.set("kind", fact.Kind().String())
	fact.fields(&form{mode: listing, obj: o})
	return o.bytes()
}

// JSON returns the entry in readable form.
func (e Entry) JSON() json.RawMessage {
	o := &object{}
	o.set("fact", e.Seq)
	o.set("happened", e.When.Time().Format("2006-01-02T15:04-07:00"))
	o.set("precision", [...]string{"", "minute", "half-hour", "day"}[e.When.Precision])
	o.set("written", e.Written().Format("2006-01-02T15:04:05.000Z"))
	o.set("person", string(e.Person))
	o.set("device", string(e.Device))
	o.set("kind", e.Fact.Kind().String())
	e.Fact.fields(&form{mode: listing, obj: o})
	return o.bytes()
}
