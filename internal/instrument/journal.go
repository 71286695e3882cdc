package instrument

import (
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"path/filepath"
)

// A Journal keeps what a stream brought until it stands in the record: a file beside the
// house's own. What [Journal.Sync] has returned for survives a kill and a power cut.
//
//	"combline journal 1\n"
//	8 bytes   number of the block that its records belong to, big-endian
//	records:  uvarint length, 4 bytes CRC-32C of the bytes (big-endian), the bytes
//
// A record at the end that is cut or altered was never acknowledged; it is passed over.
type Journal struct {
	file  *os.File
	block uint64
	out   []byte // appended, not yet written
	dirty bool   // written, not yet synced
}

const journalForm = "combline journal 1\n"

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// mostPending is how much is kept in memory before it is written.
const mostPending = 256 << 10

// ErrJournal means that a file is no journal of this program.
var ErrJournal = errors.New("this is no journal of weights; move it away to begin anew")

// OpenJournal opens or makes a journal and gives the records that it holds.
func OpenJournal(path string) (j *Journal, records [][]byte, err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, nil, err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, nil, err
	}
	j = &Journal{file: f}
	b, err := io.ReadAll(f)
	if err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	if len(b) < len(journalForm)+8 { // new, or cut while it was begun: nothing was acknowledged
		if len(b) > 0 && len(b) >= len(journalForm) && string(b[:len(journalForm)]) != journalForm {
			return nil, nil, errors.Join(fmt.Errorf("%s: %w", path, ErrJournal), f.Close())
		}
		return j, nil, errors.Join(j.Begin(0), syncFolder(filepath.Dir(path)))
	}
	if string(b[:len(journalForm)]) != journalForm {
		return nil, nil, errors.Join(fmt.Errorf("%s: %w", path, ErrJournal), f.Close())
	}
	j.block = binary.BigEndian.Uint64(b[len(journalForm):])
	at := len(journalForm) + 8
	for at < len(b) {
		n, size := binary.Uvarint(b[at:])
		if size <= 0 || n > uint64(len(b)-at-size) || uint64(len(b)-at-size)-n < 4 {
			break
		}
		sum, body := b[at+size:at+size+4], b[at+size+4:at+size+4+int(n)]
		if binary.BigEndian.Uint32(sum) != crc32.Checksum(body, castagnoli) {
			break
		}
		records = append(records, body)
		at += size + 4 + int(n)
	}
	if err := f.Truncate(int64(at)); err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	_, err = f.Seek(int64(at), io.SeekStart)
	return j, records, err
}

// Block is the number of the block that the records belong to.
func (j *Journal) Block() uint64 { return j.block }

// Append adds a record.
func (j *Journal) Append(record []byte) error {
	j.out = binary.AppendUvarint(j.out, uint64(len(record)))
	j.out = binary.BigEndian.AppendUint32(j.out, crc32.Checksum(record, castagnoli))
	j.out = append(j.out, record...)
	if len(j.out) < mostPending {
		return nil
	}
	return j.write()
}

func (j *Journal) write() error {
	if len(j.out) == 0 {
		return nil
	}
	_, err := j.file.Write(j.out)
	j.out, j.dirty = j.out[:0], true
	return err
}

// Sync returns when all that was appended is safe.
func (j *Journal) Sync() error {
	if err := j.write(); err != nil || !j.dirty {
		return err
	}
	j.dirty = false
	return j.file.Sync()
}

// Begin empties the journal: what it held stands in the record, and what comes belongs to
// the block of that number.
func (j *Journal) Begin(block uint64) error {
	j.out, j.block, j.dirty = j.out[:0], block, false
	if err := j.file.Truncate(0); err != nil {
		return err
	}
	if _, err := j.file.Seek(0, io.SeekStart); err != nil {
		return err
	}
	head := binary.BigEndian.AppendUint64([]byte(journalForm), block)
	if _, err := j.file.Write(head); err != nil {
		return err
	}
	return j.file.Sync()
}

// Close writes what is left and lets go of the file.
func (j *Journal) Close() error { return errors.Join(j.Sync(), j.file.Close()) }

// syncFolder makes a new file's name safe; a system that can't do that does it by itself.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	_ = d.Sync()
	return d.Close()
}
