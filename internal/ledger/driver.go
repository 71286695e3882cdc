package ledger

import (
	"context"
	"database/sql/driver"
	"errors"
	"io"
	"net/url"
	"path/filepath"
	"strings"
	"sync"

	"modernc.org/sqlite"
)

// This file is all that knows the SQLite driver. The rest of the package asks
// for a connection and runs statements on it. It goes past database/sql: a
// ledger has one writer and a scan, and a pool's work on each row would cost
// more than the row.

// A conn is one connection to a database file. It is not safe for use by
// several goroutines at once.
type conn struct {
	c        driver.Conn
	compiled map[string]driver.Stmt // prepared statements by their text
}

// A mode says how a database file is opened.
type mode string

const (
	readOnly mode = "ro"
	readOld  mode = "rw"  // writes to a file that is there
	readNew  mode = "rwc" // makes the file where there is none
	inMemory mode = "memory"
	frozen   mode = "ro&immutable=1" // on a disk that nobody can write to
)

// process-wide settings of the driver, which it wants before the first file is
// opened: fdatasync leaves out the time stamps of a file, as SQLite does on
// every Linux distribution; locks bound to the open file don't vanish when
// some other code of this process closes the same file. Where a system has
// neither, the driver goes on with fsync and with locks of the process.
var settle = sync.OnceFunc(func() {
	_, _ = sqlite.Fdatasync(true)
	_, _ = sqlite.OFDLocking(true)
})

// dial opens path and runs the pragmas, such as "synchronous(FULL)".
func dial(path string, m mode, pragmas ...string) (*conn, error) {
	settle()
	q := url.Values{"_pragma": pragmas, "_txlock": {"immediate"}, "_defensive": {"1"}, "_dqs": {"0"}, "_error_rc": {"1"}}
	c, err := sqlite.NewConnector(fileURL(path) + "?mode=" + string(m) + "&" + q.Encode())
	if err != nil {
		return nil, err
	}
	dc, err := c.Connect(context.Background())
	if err != nil {
		return nil, worded(err)
	}
	return &conn{c: dc, compiled: map[string]driver.Stmt{}}, nil
}

// fileURL escapes what SQLite would read as part of an address.
func fileURL(path string) string {
	p := filepath.ToSlash(path)
	if filepath.VolumeName(path) != "" {
		p = "/" + p // file:///C:/...
	}
	return "file:" + (&url.URL{Path: p}).EscapedPath()
}

func (c *conn) close() error {
	for _, s := range c.compiled {
		_ = s.Close()
	}
	return c.c.Close()
}

// prepared returns the statement of a text, which is compiled once.
func (c *conn) prepared(sql string) (driver.Stmt, error) {
	if s := c.compiled[sql]; s != nil {
		return s, nil
	}
	s, err := c.c.Prepare(sql)
	if err != nil {
		return nil, worded(err)
	}
	c.compiled[sql] = s
	return s, nil
}

// exec runs one statement and returns how many rows it changed.
func (c *conn) exec(sql string, args ...driver.Value) (int64, error) {
	s, err := c.prepared(sql)
	if err != nil {
		return 0, err
	}
	r, err := s.(driver.StmtExecContext).ExecContext(context.Background(), named(args))
	if err != nil {
		return 0, worded(err)
	}
	return r.RowsAffected()
}

// script runs statements that need no value, one or many.
func (c *conn) script(sql string) error {
	_, err := c.c.(driver.ExecerContext).ExecContext(context.Background(), sql, nil)
	return worded(err)
}

// query calls each with every row, which is each's only until it returns; the
// bytes inside it are its own. It stops at each's first error.
func (c *conn) query(each func(row []driver.Value) error, sql string, args ...driver.Value) error {
	s, err := c.prepared(sql)
	if err != nil {
		return err
	}
	rows, err := s.(driver.StmtQueryContext).QueryContext(context.Background(), named(args))
	if err != nil {
		return worded(err)
	}
	row := make([]driver.Value, len(rows.Columns()))
	for err == nil {
		if err = rows.Next(row); err == nil {
			err = each(row)
		} else if err != io.EOF {
			err = worded(err)
		}
	}
	closed := rows.Close()
	if err == io.EOF {
		err = worded(closed)
	}
	return err
}

// int reads one whole number.
func (c *conn) int(sql string, args ...driver.Value) (n int64, err error) {
	err = c.query(func(row []driver.Value) error { n, _ = row[0].(int64); return nil }, sql, args...)
	return n, err
}

func named(args []driver.Value) []driver.NamedValue {
	out := make([]driver.NamedValue, len(args))
	for i, a := range args {
		out[i] = driver.NamedValue{Ordinal: i + 1, Value: a}
	}
	return out
}

// copyTo copies the whole file as it is now to path, a few pages at a time.
// A transaction must be open on c: it holds the picture that is copied.
func (c *conn) copyTo(ctx context.Context, path string, progress func(done, total int)) error {
	const pages = 256 // 1 MB a step at 4096 bytes a page
	b, err := c.c.(interface {
		NewBackup(string) (*sqlite.Backup, error)
	}).NewBackup(fileURL(path))
	if err != nil {
		return worded(err)
	}
	for more := true; more && err == nil; {
		if more, err = b.Step(pages); err == nil {
			progress(b.PageCount()-b.Remaining(), b.PageCount())
			err = ctx.Err()
		}
	}
	if e := b.Finish(); err == nil {
		err = e
	}
	return worded(err)
}

// guard refuses, on this connection, every statement but those that the ledger
// itself needs, whatever the schema would allow.
func (c *conn) guard() error {
	return c.c.(sqlite.AuthorizerRegisterer).RegisterAuthorizer(allowed)
}

func allowed(action sqlite.AuthorizerActionCode, arg1, arg2, db, _ string) sqlite.AuthorizerReturnCode {
	ok := false
	switch action {
	case sqlite.AuthSelect, sqlite.AuthRead, sqlite.AuthTransaction, sqlite.AuthFunction:
		ok = true
	case sqlite.AuthInsert:
		ok = db == "main" && (arg1 == "link" || arg1 == "block" || arg1 == "loss")
	case sqlite.AuthPragma: // a pragma without a value only reads
		ok = arg1 == "wal_checkpoint" || arg2 == ""
	}
	if ok {
		return sqlite.AuthorizerOK
	}
	return sqlite.AuthorizerDeny
}

// SQLite's result codes, https://www.sqlite.org/rescode.html.
const (
	codePerm       = 3
	codeBusy       = 5
	codeReadOnly   = 8
	codeIO         = 10
	codeCorrupt    = 11
	codeFull       = 13
	codeCantOpen   = 14
	codeConstraint = 19
	codeNotADB     = 26

	// what a full disk says when the file that the log's readers share can't grow
	codeNoRoomToShare = 10 | 19<<8
)

// code is SQLite's primary result code of err, 0 where it isn't SQLite's.
func code(err error) int {
	var e *sqlite.Error
	if errors.As(err, &e) {
		return e.Code() & 0xff
	}
	return 0
}

// worded wraps an error of the driver in the package's own.
func worded(err error) error {
	var own error
	var e *sqlite.Error
	if errors.As(err, &e) && e.Code() == codeNoRoomToShare {
		return &wrapped{ErrFull, strings.TrimSpace(err.Error())}
	}
	switch code(err) {
	case codeFull:
		own = ErrFull
	case codeReadOnly, codePerm:
		own = ErrReadOnly
	case codeCorrupt:
		own = ErrDamaged
	case codeNotADB:
		own = ErrNotLedger
	case codeBusy:
		own = ErrBusy
	case codeIO:
		own = ErrDisk
	default:
		return err
	}
	return &wrapped{own, strings.TrimSpace(err.Error())}
}

// A wrapped is one of the package's errors with the driver's own words.
type wrapped struct {
	error
	detail string
}

func (w *wrapped) Error() string { return w.error.Error() + " (" + w.detail + ")" }
func (w *wrapped) Unwrap() error { return w.error }

// Detail is what the driver or the file system itself said of an error.
func Detail(err error) string {
	var w *wrapped
	if errors.As(err, &w) {
		return w.detail
	}
	return err.Error()
}
