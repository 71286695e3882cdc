package cli

import (
	"context"
	"io"
	"net"
	"net/http"
	"testing"
	"time"
)

// A port that is taken is passed over for the next free one.
func TestListenPassesOverATakenPort(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	l, err := listen(taken.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	was, got := taken.Addr().(*net.TCPAddr), l.Addr().(*net.TCPAddr)
	if got.Port <= was.Port || got.Port > was.Port+ports || !got.IP.IsLoopback() {
		t.Errorf("listens at %v, port %d was taken", got, was.Port)
	}
	for _, bad := range []string{"127.0.0.1", "127.0.0.1:honey", "127.0.0.1:70000"} {
		if _, err := listen(bad); !is[*usageError](err) {
			t.Errorf("listen(%q): %v", bad, err)
		}
	}
}

// When the program is ended, what is being answered is finished first.
func TestServeFinishesWhatItAnswers(t *testing.T) {
	l, err := listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(t.Context())
	slow := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		end() // the program is ended while it answers
		time.Sleep(50 * time.Millisecond)
		_, _ = io.WriteString(w, "honey")
	})
	done := make(chan error, 1)
	go func() { done <- run(ctx, &http.Server{Handler: slow}, l) }()
	r, err := http.Get("http://" + l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if b, err := io.ReadAll(r.Body); err != nil || string(b) != "honey" {
		t.Errorf("answered %q, %v", b, err)
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
}
