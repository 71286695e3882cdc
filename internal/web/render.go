package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

//go:embed page/*.html
var pageFiles embed.FS

// pages are the templates by name, each with the frame around it and the parts.
type pages map[string]*template.Template

func loadPages() (pages, error) {
	root, err := template.New("frame").Funcs(template.FuncMap{"icon": icon}).ParseFS(pageFiles, "page/frame.html", "page/part.html", "page/entry.html")
	if err != nil {
		return nil, err
	}
	names, err := fs.Glob(pageFiles, "page/*.html")
	if err != nil {
		return nil, err
	}
	all := pages{}
	for _, file := range names {
		name := strings.TrimSuffix(path.Base(file), ".html")
		if name == "frame" || name == "part" || name == "entry" {
			continue
		}
		t, err := root.Clone()
		if err == nil {
			t, err = t.ParseFS(pageFiles, file)
		}
		if err != nil {
			return nil, fmt.Errorf("page %s: %w", name, err)
		}
		all[name] = t
	}
	return all, nil
}

// render sends a page.
func (v *visit) render(name string, page any) error { return v.renderAs(http.StatusOK, name, page) }

func (v *visit) renderAs(status int, name string, page any) error {
	return v.renderFrom("frame", status, name, page)
}

// renderBare sends a page without the frame, to who may not see the house.
func (v *visit) renderBare(status int, name string, page any) error {
	return v.renderFrom("bare", status, name, page)
}

func (v *visit) renderFrom(root string, status int, name string, page any) error {
	t, ok := v.s.pages[name]
	if !ok {
		return fmt.Errorf("there is no template %s", name)
	}
	var b bytes.Buffer // whole before it is sent: half a page is worse than a message
	if err := t.ExecuteTemplate(&b, root, page); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	h := v.w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	h.Set("Vary", "Cookie, Accept-Language")
	return v.deliver(status, b.Bytes())
}
