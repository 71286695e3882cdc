package cli

import (
	"net"
	"net/http"
	"path/filepath"

	"combline/internal/web"
)

// pagesFolder is where a house keeps what its pages know beside the facts.
func pagesFolder(dir string) folderStore { return folderStore(filepath.Join(dir, "pages")) }

// newPages makes the pages of a house, ready to be served at an address.
func newPages(h *opened, folder string, at *net.TCPAddr) (*http.Server, error) {
	o := web.Options{Version: version(), Folder: folder, LAN: !at.IP.IsLoopback(), Names: ownNames(), Store: pagesFolder(folder), Printer: printer(h), Labels: labelPrinter()}
	if o.LAN {
		o.Addresses = func() []string { return lanAddresses(at) }
	}
	s, err := web.New(h.Office, o)
	if err != nil {
		return nil, err
	}
	return s.HTTP(), nil
}
