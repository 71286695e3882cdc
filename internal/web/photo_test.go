package web

import (
	"bytes"
	"crypto/sha256"
	"image"
	"image/png"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"combline/internal/office"
)

// picture is a small PNG, made by the standard library.
func picture(t *testing.T, side int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, side, side))); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// postFile sends a form with a photo, as a browser does (RFC 7578).
func (x *site) postFile(path string, fields map[string]string, photo []byte) *httptest.ResponseRecorder {
	x.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	for name, value := range fields {
		if err := w.WriteField(name, value); err != nil {
			x.t.Fatal(err)
		}
	}
	part, err := w.CreateFormFile("photo", "jar.png")
	if err != nil {
		x.t.Fatal(err)
	}
	_, _ = part.Write(photo)
	_ = w.Close()
	r := httptest.NewRequest("POST", path, &body)
	base := x.request("GET", path, nil)
	r.Host, r.RemoteAddr = base.Host, base.RemoteAddr
	for _, c := range base.Cookies() {
		r.AddCookie(c)
	}
	r.Header.Set("Content-Type", w.FormDataContentType())
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return x.do(r)
}

// A complaint is taken with its photo in one form: the fact has the bytes' SHA-256, the
// page shows them, and they come back as they were sent.
func TestComplaintWithPhoto(t *testing.T) {
	x := demoHouse(t).as("owner")
	photo := picture(t, 40)
	w := x.postFile("/do/complaint?of=R1-01&back=/complaints", map[string]string{"key": newKey(), "0.class": "ferment", "0.mark": "R1-01", "0.what": "foam", "0.complaint": "K-77"}, photo)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%d\n%s", w.Code, w.Body)
	}
	var all []office.Photo
	x.o.Read(func(h *office.View) { all = h.Photos("K-77") })
	sum := sha256.Sum256(photo)
	if len(all) != 1 || !bytes.Equal(all[0].Digest, sum[:]) || all[0].Type != "image/png" || all[0].Bytes != int64(len(photo)) {
		t.Fatalf("%+v", all)
	}
	src := link("/photo", "fact", strconv.FormatUint(all[0].Fact, 10))
	if page := x.get("/complaints"); !strings.Contains(page, `src="`+src+`"`) {
		t.Errorf("the page of complaints does not show %s", src)
	}
	shown := x.do(x.request("GET", src, nil))
	if !bytes.Equal(shown.Body.Bytes(), photo) || shown.Header().Get("Content-Type") != "image/png" || shown.Header().Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%d bytes of %s", shown.Body.Len(), shown.Header().Get("Content-Type"))
	}
	if w := x.do(x.request("GET", "/photo?fact=1", nil)); w.Code != http.StatusNotFound {
		t.Errorf("a fact that is no photo: %d", w.Code)
	}
}

// What is no picture, damaged or too large is refused with nothing recorded, and a form
// that comes back need not be given the photo again.
func TestPhotoRefused(t *testing.T) {
	x := demoHouse(t).as("owner")
	before := x.facts()
	good := picture(t, 8)
	for name, photo := range map[string][]byte{"none": nil, "text": []byte("<script>alert(1)</script>"), "svg": []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`), "cut short": good[:20],
		"too large": append(bytes.Clone(good), make([]byte, office.MostPhoto)...)} {
		w := x.postFile("/do/photo?of=K-01", map[string]string{"key": newKey()}, photo)
		if w.Code == http.StatusSeeOther || x.facts() != before {
			t.Errorf("%s: %d, recorded", name, w.Code)
		}
	}
	// no class: the form comes back and keeps the photo
	fields := map[string]string{"key": newKey(), "0.mark": "R1-01", "0.complaint": "K-78"}
	w := x.postFile("/do/complaint", fields, good)
	if w.Code != http.StatusOK || x.facts() != before {
		t.Fatalf("%d", w.Code)
	}
}
