package chain

import (
	"encoding/hex"
	"errors"
	"iter"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The digests were worked out with sha256sum of GNU coreutils, such as
//
//	(printf 'combline ledger 1\n'; printf '%016x' 1 | xxd -r -p; head -c 32 /dev/zero; printf one) | sha256sum
//
// and for the second with 2, the first one's digest, and "two".
func TestHash(t *testing.T) {
	const (
		one = "b09f22f8acef34b4fad4df876b195115809ab27fa19b6c31bc08a035ab980808"
		two = "117a181f1a2530e11a9ee795409ea2596740111fdef4e216c42581c6c2401732"
	)
	links := linked([]byte("one"), []byte("two"))
	for i, want := range []string{one, two} {
		if got := hex.EncodeToString(links[i].Hash[:]); got != want || links[i].Link.Hash() != links[i].Hash {
			t.Errorf("link %d has the hash %s, want %s", i+1, got, want)
		}
	}
}

// linked is a chain of bodies.
func linked(bodies ...[]byte) (links []Stored) {
	var head Head
	var h Hasher
	for _, b := range bodies {
		l := head.Next(b)
		links = append(links, Stored{l, h.Sum(l)})
		head = Head{l.Seq, links[len(links)-1].Hash}
	}
	return links
}

func each(links []Stored, end error) iter.Seq2[Stored, error] {
	return func(yield func(Stored, error) bool) {
		for _, l := range links {
			if !yield(l, nil) {
				return
			}
		}
		if end != nil {
			yield(Stored{}, end)
		}
	}
}

func anyChain(t *rapid.T) []Stored {
	return linked(rapid.SliceOfN(rapid.SliceOfN(rapid.Byte(), 0, 20), 1, 12).Draw(t, "bodies")...)
}

// Every part of a chain verifies from where it begins, and ends where it ends.
func TestVerify(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		links := anyChain(t)
		from := rapid.IntRange(0, len(links)).Draw(t, "from")
		to := rapid.IntRange(from, len(links)).Draw(t, "to")
		got, err := Verify(headAt(links, from), each(links[from:to], nil))
		if want := headAt(links, to); err != nil || got != want {
			t.Fatalf("links %d to %d end at %v, %v; want %v", from+1, to, got, err, want)
		}
	})
}

func headAt(links []Stored, n int) Head {
	if n == 0 {
		return Head{}
	}
	return Head{links[n-1].Seq, links[n-1].Hash}
}

// Whatever is changed, left out, doubled or swapped: the first bad link is named.
func TestFirstBadLinkIsNamed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		links := anyChain(t)
		i := rapid.IntRange(0, len(links)-1).Draw(t, "i")
		bad, want := spoil(t, links, i)
		if bad == nil {
			return
		}
		got, err := Verify(Head{}, each(bad, nil))
		var broken *BrokenError
		if !errors.As(err, &broken) || broken.Seq != want {
			t.Fatalf("gave %v, want link %d named", err, want)
		}
		if got != headAt(links, int(want)-1) {
			t.Fatalf("the good part ends at %d, want %d", got.Seq, want-1)
		}
	})
}

// spoil changes link i and says which one is then the first bad; no links where
// the change would change nothing.
func spoil(t *rapid.T, links []Stored, i int) (bad []Stored, want uint64) {
	bad, want = slices.Clone(links), uint64(i+1)
	l := &bad[i]
	bit := byte(1) << rapid.IntRange(0, 7).Draw(t, "bit")
	at := rapid.IntRange(0, 31).Draw(t, "at")
	switch rapid.SampledFrom([]string{"body", "longer", "shorter", "prev", "hash", "seq", "drop", "double", "swap"}).Draw(t, "how") {
	case "body":
		if len(l.Body) == 0 {
			return nil, 0
		}
		l.Body = slices.Clone(l.Body)
		l.Body[at%len(l.Body)] ^= bit
	case "longer":
		l.Body = append(slices.Clone(l.Body), bit)
	case "shorter":
		if len(l.Body) == 0 {
			return nil, 0
		}
		l.Body = l.Body[:len(l.Body)-1]
	case "prev":
		l.Prev[at] ^= bit
	case "hash":
		l.Hash[at] ^= bit
	case "seq":
		l.Seq += uint64(bit)
	case "drop":
		if i == len(links)-1 {
			return nil, 0 // a cut end is for the witness to show
		}
		bad = slices.Delete(bad, i, i+1)
	case "double":
		bad = slices.Insert(bad, i, links[i])
		want++
	case "swap":
		if i == len(links)-1 {
			return nil, 0
		}
		bad[i], bad[i+1] = bad[i+1], bad[i]
	}
	return bad, want
}

// A link rewritten with a hash of its own breaks at the next one.
func TestRewrittenLink(t *testing.T) {
	links := linked([]byte("a"), []byte("b"), []byte("c"))
	links[1].Body = []byte("B")
	links[1].Hash = links[1].Link.Hash()
	var broken *BrokenError
	if _, err := Verify(Head{}, each(links, nil)); !errors.As(err, &broken) || broken.Seq != 3 {
		t.Errorf("gave %v, want link 3 named", err)
	}
}

func TestVerifyPassesErrorsOn(t *testing.T) {
	disk := errors.New("disk")
	links := linked([]byte("a"), []byte("b"))
	if h, err := Verify(Head{}, each(links, disk)); err != disk || h != headAt(links, 2) {
		t.Errorf("gave %v, %v", h, err)
	}
}

// A hasher's buffer does not show through from one link to the next.
func TestHasherIsReusable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var h Hasher
		for _, l := range anyChain(t) {
			if h.Sum(l.Link) != l.Link.Hash() {
				t.Fatalf("link %d sums differently behind others", l.Seq)
			}
		}
	})
}

func TestBlock(t *testing.T) {
	// SHA-256 of "abc": FIPS 180-4, example of one block.
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	b := NewBlock("T1/1", "T1", 495_000, []byte("abc"))
	if got := hex.EncodeToString(b.Digest[:]); got != abc || b.Check() != nil {
		t.Errorf("digest %s, %v; want %s", got, b.Check(), abc)
	}
	for name, change := range map[string]func(*Block){
		"id":         func(b *Block) { b.ID += "x" },
		"instrument": func(b *Block) { b.Instrument += "x" },
		"hour":       func(b *Block) { b.Hour++ },
		"bytes":      func(b *Block) { b.Bytes = []byte("abd") },
		"digest":     func(b *Block) { b.Digest[31]++ },
	} {
		c := b
		change(&c)
		if b.Equal(c) || !c.Equal(c) {
			t.Errorf("another %s makes no other block", name)
		}
		if bad := name == "bytes" || name == "digest"; (c.Check() != nil) != bad {
			t.Errorf("another %s: check gives %v", name, c.Check())
		}
	}
}

func TestLossFrom(t *testing.T) {
	l := Loss{After: Head{Seq: 7}, To: Head{Seq: 9}}
	if l.From() != 8 {
		t.Errorf("the first lost is %d, want 8", l.From())
	}
}
