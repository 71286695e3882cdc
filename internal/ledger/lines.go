package ledger

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"

	"combline/internal/chain"
)

// An export is text in JSON Lines: a title, the facts in order, the blocks in
// the order in which they came, the accepted losses, and a last line that says
// where the chain ends and how much there is, so that a cut export shows it.
//
//	{"combline":"ledger","form":1}
//	{"seq":1,"prev":"<hex>","hash":"<hex>","body":"<base64>","readable":{…}}
//	{"block":"T1/495000/1","instrument":"T1","hour":495000,"digest":"<hex>","bytes":"<base64>"}
//	{"loss_after":{"seq":7,"hash":"<hex>"},"loss_to":{"seq":9,"hash":"<hex>"}}
//	{"end":{"seq":1,"hash":"<hex>"},"blocks":1,"losses":1,"sum":"<hex>"}
//
// The body is the stored bytes; readable is for people and other programs, may
// be missing, and is not read back. There is one way to write each line: fields
// in this order, no spaces, base64 with padding (RFC 4648, section 4). The sum
// is SHA-256 over all lines before the last, each with its "\n": it covers what
// the chain does not.
type (
	titleLine struct {
		Combline string `json:"combline"`
		Form     int    `json:"form"`
	}
	linkLine struct {
		Seq      uint64          `json:"seq"`
		Prev     hexHash         `json:"prev"`
		Hash     hexHash         `json:"hash"`
		Body     []byte          `json:"body"`
		Readable json.RawMessage `json:"readable,omitempty"`
	}
	blockLine struct {
		Block      string  `json:"block"`
		Instrument string  `json:"instrument"`
		Hour       int64   `json:"hour"`
		Digest     hexHash `json:"digest"`
		Bytes      []byte  `json:"bytes"`
	}
	lossLine struct {
		After headLine `json:"loss_after"`
		To    headLine `json:"loss_to"`
	}
	endLine struct {
		End    headLine `json:"end"`
		Blocks int      `json:"blocks"`
		Losses int      `json:"losses"`
		Sum    hexHash  `json:"sum"`
	}
	headLine struct {
		Seq  uint64  `json:"seq"`
		Hash hexHash `json:"hash"`
	}
)

// title is the first line; another form of export gets another number.
var title = titleLine{Combline: "ledger", Form: 1}

type hexHash chain.Hash

func (h hexHash) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, h[:]), nil }

func (h *hexHash) UnmarshalText(b []byte) error {
	if len(b) != hex.EncodedLen(len(h)) {
		return fmt.Errorf("a hash of %d digits, want %d", len(b), hex.EncodedLen(len(h)))
	}
	_, err := hex.Decode(h[:], b)
	return err
}

func headToLine(h chain.Head) headLine { return headLine{h.Seq, hexHash(h.Hash)} }
func (l headLine) head() chain.Head    { return chain.Head{Seq: l.Seq, Hash: chain.Hash(l.Hash)} }
func lossToLine(l chain.Loss) lossLine { return lossLine{headToLine(l.After), headToLine(l.To)} }
func (l lossLine) loss() chain.Loss    { return chain.Loss{After: l.After.head(), To: l.To.head()} }
func linkToLine(l chain.Stored) linkLine {
	return linkLine{Seq: l.Seq, Prev: hexHash(l.Prev), Hash: hexHash(l.Hash), Body: some(l.Body)}
}

func (l linkLine) stored() chain.Stored {
	return chain.Stored{Link: chain.Link{Seq: l.Seq, Prev: chain.Hash(l.Prev), Body: l.Body}, Hash: chain.Hash(l.Hash)}
}

func blockToLine(b chain.Block) blockLine {
	return blockLine{b.ID, b.Instrument, b.Hour, hexHash(b.Digest), some(b.Bytes)}
}

func (l blockLine) block() chain.Block {
	return chain.Block{ID: l.Block, Instrument: l.Instrument, Hour: l.Hour, Bytes: l.Bytes, Digest: chain.Hash(l.Digest)}
}

// some makes no bytes print as "" and not as null.
func some(b []byte) []byte {
	if b == nil {
		return []byte{}
	}
	return b
}

// printLine is the one way to write a line, without its end.
func printLine(line any) ([]byte, error) { return json.Marshal(line) }

// parseLine reads what printLine wrote and refuses all else.
func parseLine(b []byte) (any, error) {
	switch {
	case bytes.HasPrefix(b, []byte(`{"seq":`)):
		return strict(b, new(linkLine))
	case bytes.HasPrefix(b, []byte(`{"block":`)):
		return strict(b, new(blockLine))
	case bytes.HasPrefix(b, []byte(`{"loss_after":`)):
		return strict(b, new(lossLine))
	case bytes.HasPrefix(b, []byte(`{"end":`)):
		return strict(b, new(endLine))
	case bytes.HasPrefix(b, []byte(`{"combline":`)):
		return strict(b, new(titleLine))
	}
	return nil, errors.New("is no line of an export")
}

// strict decodes b into line and prints it again: what differs has a field
// twice, one too many, one missing, or is written in some other way.
func strict(b []byte, line any) (any, error) {
	if err := json.Unmarshal(b, line); err != nil {
		return nil, fmt.Errorf("can't be read: %w", err)
	}
	again, err := printLine(line)
	if err == nil && !bytes.Equal(again, b) {
		err = errors.New("is not written as an export writes it")
	}
	return line, err
}
