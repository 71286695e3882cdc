package web

import (
	"encoding/hex"
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"

	"combline/internal/chain"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// mostPhotoBody is what a form with a photo may hold: the photo and the fields.
const mostPhotoBody = office.MostPhoto + 1<<16

// takesPhoto reports whether a request may carry a photo.
func takesPhoto(r *http.Request) bool {
	return r.Method == http.MethodPost && (r.URL.Path == "/do/complaint" || r.URL.Path == "/do/photo") &&
		strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data")
}

// withPhoto adds the photo that came with a form, if one did, to what is recorded. Its
// bytes are kept before anything else is looked at, so that a form that comes back with a
// question has them already.
func (v *visit) withPhoto(t *task, must bool, about func(*house.Draft) record.Code) func(*house.Draft) error {
	t.Photo, t.PhotoHint = v.say("page.photo.take"), v.say("page.photo.hint", "most", int64(office.MostPhoto>>20))
	var f *record.PhotoKept
	var err error
	if v.r.Method == http.MethodPost {
		var photo []byte
		if photo, err = v.sentPhoto(); err == nil && (photo != nil || must) {
			f, err = v.s.office.PutPhoto(v.r.Context(), "", photo, v.arg("photo.note"))
		}
	}
	if f != nil {
		t.Kept, t.PhotoHint = hex.EncodeToString(f.Digest), v.say("page.photo.kept")
	}
	return func(d *house.Draft) error {
		if f != nil {
			f.About = about(d)
			d.Facts = append(d.Facts, f)
		}
		return err
	}
}

// sentPhoto is the photo of a form, or the one that the same form sent before; nil when
// none was chosen.
func (v *visit) sentPhoto() ([]byte, error) {
	file, _, err := v.r.FormFile("photo")
	if err == nil {
		defer file.Close()
		photo, err := io.ReadAll(io.LimitReader(file, office.MostPhoto+1))
		if err != nil || len(photo) > 0 {
			return photo, err
		}
	}
	digest, err := hex.DecodeString(v.r.PostForm.Get("photo.kept"))
	if err != nil || len(digest) == 0 {
		return nil, nil
	}
	photo, err := v.s.office.PhotoBytes(v.r.Context(), digest)
	if errors.Is(err, chain.ErrNoBlock) {
		return nil, nil
	}
	return photo, err
}

// photoTask keeps a photo of anything that has a number.
func (v *visit) photoTask(of record.Code) (*task, error) {
	known := false
	v.s.office.Read(func(h *office.View) {
		if x, ok := h.State.Find(of); ok {
			known, of = true, h.State.Code(x)
		}
	})
	if !known {
		return nil, &notThere{of, nil}
	}
	t := &task{Of: of, Title: v.say("page.task.photo") + " · " + string(of)}
	t.Make = v.withPhoto(t, true, func(*house.Draft) record.Code { return of })
	t.PhotoNote = v.fieldName("note")
	return t, nil
}

// photo sends a photo as it was kept.
func (v *visit) photo() error {
	fact, err := strconv.ParseUint(v.arg("fact"), 10, 64)
	if err != nil {
		return errNotFound
	}
	var p office.Photo
	known := false
	v.s.office.Read(func(h *office.View) { p, known = h.PhotoAt(fact) })
	if !known || p.Type != "image/jpeg" && p.Type != "image/png" {
		return errNotFound
	}
	b, err := v.s.office.PhotoBytes(v.r.Context(), p.Digest)
	if err != nil {
		return err
	}
	h := v.w.Header()
	h.Set("Content-Type", p.Type)
	h.Set("Content-Length", strconv.Itoa(len(b)))
	h.Set("Cache-Control", "private, max-age=86400, immutable") // what a fact names never changes
	_, _ = v.w.Write(b)
	return nil
}

// A photoShown is one photo on a page.
type photoShown struct{ Src, Alt, Note string }

func (v *visit) photosOf(h *office.View, code record.Code) (all []photoShown) {
	for i, p := range h.Photos(code) {
		all = append(all, photoShown{link("/photo", "fact", strconv.FormatUint(p.Fact, 10)), v.say("page.photo.alt", "n", int64(i+1), "of", code), p.Note})
	}
	return all
}
