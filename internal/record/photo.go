package record

// PhotoKept: a photo was taken and kept with the house. Its bytes stand as a block
// beside the chain, which back-ups and exports hold too; the digest says which.
type PhotoKept struct {
	About  Code
	Digest []byte // SHA-256 of the bytes
	Type   string // as its first bytes say: image/jpeg
	Bytes  int64
	Note   string
}

func (x *PhotoKept) fields(f *form) {
	f.ref(1, "about", &x.About, need, anyThing)
	f.raw(2, "digest", &x.Digest, need)
	f.note(3, "type", &x.Type, need)
	f.count(4, "bytes", &x.Bytes, need)
	f.note(5, "note", &x.Note, may)
}
