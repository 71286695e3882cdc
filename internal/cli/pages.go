package cli

import (
	"net/http"
	"path/filepath"

	"combline/internal/web"
)

// newPages makes the pages of a house, ready to be served.
func newPages(h *opened, folder string, others bool) (*http.Server, error) {
	s, err := web.New(h.Office, web.Options{Version: version(), Folder: folder, LAN: others, Store: folderStore(filepath.Join(folder, "pages"))})
	if err != nil {
		return nil, err
	}
	return s.HTTP(), nil
}
