package web

import (
	"bytes"
	"compress/gzip"
	"strings"
)

// deliver sends a page, pressed where the browser takes that: drawings shrink to a tenth.
func (v *visit) deliver(status int, page []byte) error {
	const small = 1400 // bytes: fits in one packet as it is
	if len(page) > small && strings.Contains(v.r.Header.Get("Accept-Encoding"), "gzip") {
		var b bytes.Buffer
		w, err := gzip.NewWriterLevel(&b, gzip.BestSpeed)
		if err != nil {
			return err
		}
		if _, err := w.Write(page); err != nil {
			return err
		}
		if err := w.Close(); err != nil {
			return err
		}
		v.w.Header().Set("Content-Encoding", "gzip")
		page = b.Bytes()
	}
	v.w.WriteHeader(status)
	_, _ = v.w.Write(page) // a browser that went away can't be told
	return nil
}
