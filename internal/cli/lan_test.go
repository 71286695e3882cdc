package cli

import (
	"context"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// With --lan the port that was said is open everywhere; an address that was said stays.
func TestWhereToListen(t *testing.T) {
	for _, c := range []struct {
		s    serving
		want string
	}{
		{serving{Listen: "127.0.0.1:8377"}, "127.0.0.1:8377"},
		{serving{Listen: "127.0.0.1:8377", LAN: true}, "0.0.0.0:8377"},
		{serving{Listen: ":9000", LAN: true}, "0.0.0.0:9000"},
		{serving{Listen: "localhost:9000", LAN: true}, "0.0.0.0:9000"},
		{serving{Listen: "192.0.2.5:9000", LAN: true}, "192.0.2.5:9000"},
		{serving{Listen: "nonsense", LAN: true}, "nonsense"},
	} {
		if got := c.s.address(); got != c.want {
			t.Errorf("%+v listens at %s, want %s", c.s, got, c.want)
		}
	}
}

// What is printed can be typed: no address of all addresses, none of this computer
// alone for others.
func TestAddressesCanBeTyped(t *testing.T) {
	all := &net.TCPAddr{IP: net.IPv4zero, Port: 8377}
	if got := hereAddress(all); got != "http://127.0.0.1:8377/" {
		t.Errorf("here: %s", got)
	}
	if got := hereAddress(&net.TCPAddr{IP: net.IPv6loopback, Port: 1}); got != "http://[::1]:1/" {
		t.Errorf("here: %s", got)
	}
	for _, a := range lanAddresses(all) {
		if strings.Contains(a, "127.0.0.1") || strings.Contains(a, "0.0.0.0") || !strings.HasSuffix(a, ":8377/") {
			t.Errorf("for others: %s", a)
		}
	}
	if got := lanAddresses(&net.TCPAddr{IP: net.IPv4(192, 0, 2, 5), Port: 80}); len(got) != 1 || got[0] != "http://192.0.2.5:80/" {
		t.Errorf("for others: %v", got)
	}
}

// A tablet in the network sees where it is paired and nothing else; the next start
// shows the pages that are open already.
func TestLANAndAgain(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	dir := filepath.Join(t.TempDir(), "house")
	address, stop := started(t, "open", dir, "--lan")
	if !strings.HasPrefix(address, "http://127.0.0.1:") {
		t.Errorf("the browser here is sent to %s", address)
	}
	r, err := http.NewRequest(http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("X-Forwarded-For", "192.0.2.7") // as from elsewhere
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	page, err := io.ReadAll(resp.Body)
	if err != nil || resp.Request.URL.Path != "/pair" || !strings.Contains(string(page), `name="code"`) {
		t.Errorf("from elsewhere: %s, %v", resp.Request.URL, err)
	}
	var out strings.Builder
	if code := Run(t.Context(), []string{"open", dir, "--no-browser"}, Streams{nil, &out, os.Stderr}); code != 0 || !strings.Contains(out.String(), address) {
		t.Errorf("opened again: exit code %d, %q", code, out.String())
	}
	if code := stop(); code != 0 {
		t.Errorf("ended with exit code %d", code)
	}
	if answers(context.Background(), address) {
		t.Error("the pages are still there")
	}
}
