package office

import (
	"bytes"
	"context"
	"encoding/hex"
	"image"
	_ "image/jpeg" // the two forms that every browser shows and every camera writes
	_ "image/png"

	"combline/internal/answer"
	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/record"
)

// MostPhoto is how large a photo may be, in bytes: a telephone's takes half of it.
const MostPhoto = 8 << 20

// A Photo is one that was kept, with the number of its fact.
type Photo struct {
	record.PhotoKept
	Fact uint64
	When record.When
}

// PutPhoto keeps the bytes of a photo beside the record, in the same file and back-up,
// and returns the fact that says so, to be recorded. What is no JPEG or PNG picture, or
// is larger than [MostPhoto], is refused. The same photo again is kept once.
func (o *Office) PutPhoto(ctx context.Context, about record.Code, photo []byte, note string) (*record.PhotoKept, error) {
	switch {
	case len(photo) == 0:
		return nil, &house.Refusal{Key: "refused.photo-empty", Next: "next.photo"}
	case len(photo) > MostPhoto:
		return nil, &house.Refusal{Key: "refused.photo-large", Args: answer.Args{"bytes": int64(len(photo)), "most": int64(MostPhoto)}, Next: "next.photo-smaller"}
	}
	size, kind, err := image.DecodeConfig(bytes.NewReader(photo))
	if err != nil || size.Width <= 0 || size.Height <= 0 {
		return nil, &house.Refusal{Key: "refused.photo-kind", Next: "next.photo"}
	}
	r, ok := o.book.(Readings)
	if !ok {
		return nil, ErrNoReadings
	}
	b := photoBlock(photo)
	if err := r.PutBlock(ctx, b); err != nil {
		return nil, err
	}
	return &record.PhotoKept{About: about, Digest: b.Digest[:], Type: "image/" + kind, Bytes: int64(len(photo)), Note: note}, nil
}

// photoBlock is a photo as a block of no instrument and no hour, named by its digest.
func photoBlock(photo []byte) chain.Block {
	b := chain.NewBlock("", "", 0, photo)
	b.ID = photoID(b.Digest[:])
	return b
}

func photoID(digest []byte) string { return "photo/" + hex.EncodeToString(digest) }

// PhotoBytes reads a photo; the error wraps [chain.ErrNoBlock] when it is not there, and
// [chain.ErrBlockAltered] when it is not what was kept.
func (o *Office) PhotoBytes(ctx context.Context, digest []byte) ([]byte, error) {
	r, ok := o.book.(Readings)
	if !ok {
		return nil, ErrNoReadings
	}
	b, err := r.Block(ctx, photoID(digest))
	if err == nil && !bytes.Equal(b.Digest[:], digest) {
		err = chain.ErrBlockAltered
	}
	return b.Bytes, err
}

// PhotoAt is the photo that a fact is about.
func (v *View) PhotoAt(fact uint64) (Photo, bool) {
	e, err := v.Fact(fact)
	if err != nil {
		return Photo{}, false
	}
	p, ok := e.Fact.(*record.PhotoKept)
	if !ok {
		return Photo{}, false
	}
	return Photo{*p, e.Seq, e.When}, true
}

// Photos lists the photos of something, in the order in which they were taken; those
// whose entry was struck are not among them.
func (v *View) Photos(about record.Code) (all []Photo) {
	t, ok := v.State.Find(about)
	if !ok {
		return nil
	}
	for _, seq := range v.State.Mentions(t) {
		if p, ok := v.PhotoAt(uint64(seq)); ok && !v.struck(p.Fact) {
			all = append(all, p)
		}
	}
	return all
}

func (v *View) struck(fact uint64) bool {
	for _, c := range v.State.Corrections() {
		if c.Of == fact && c.Struck {
			return true
		}
	}
	return false
}

// PhotoList says which photos there are of something.
func (v *View) PhotoList(about record.Code) answer.Answer {
	a := answer.Answer{Question: "photos", Of: v.properCode(about)}
	if _, ok := v.State.Find(about); !ok {
		return v.notTraced(a, about)
	}
	all := v.Photos(about)
	a.Say("photo.count", answer.Args{"n": int64(len(all)), "of": a.Of})
	t := a.Table("photos", "fact", "when", "type", "bytes", "note", "digest")
	for _, p := range all {
		t.Row(answer.Plain, int64(p.Fact), p.When, p.Type, p.Bytes, textOrNil(p.Note), hex.EncodeToString(p.Digest))
	}
	return a
}

// NotKnown refuses a code that names nothing, in a field.
func NotKnown(field string, code record.Code) error { return notKnown(field, code) }
