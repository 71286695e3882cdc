package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"time"
)

//go:embed asset
var assetFiles embed.FS

// assets are the stylesheet, the typeface and the script, by path. Each has a tag made
// of its bytes, so that a browser keeps it until it changes.
type assets map[string]asset

type asset struct {
	bytes []byte
	tag   string
	mime  string
}

func loadAssets() (assets, error) {
	all := assets{}
	err := fs.WalkDir(assetFiles, "asset", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := assetFiles.ReadFile(name)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(b)
		kind := mime.TypeByExtension(path.Ext(name))
		switch path.Ext(name) { // not every system knows these
		case ".woff2":
			kind = "font/woff2"
		case ".js":
			kind = "text/javascript; charset=utf-8"
		case ".css":
			kind = "text/css; charset=utf-8"
		case ".txt", ".md":
			kind = "text/plain; charset=utf-8"
		}
		all["/"+name] = asset{b, hex.EncodeToString(sum[:8]), kind}
		return nil
	})
	return all, err
}

// link is the address of an asset with its tag, empty when it was not built in.
func (a assets) link(name string) string {
	x, ok := a["/asset/"+name]
	if !ok {
		return ""
	}
	return "/asset/" + name + "?" + x.tag
}

func (a assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	x, ok := a[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", x.mime)
	h.Set("ETag", `"`+x.tag+`"`)
	h.Set("Cache-Control", "max-age=3600")
	if r.URL.RawQuery == x.tag {
		h.Set("Cache-Control", "max-age=31536000, immutable")
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(x.bytes))
}
