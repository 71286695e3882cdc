package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// A folderStore keeps what the pages know beside the facts, such as paired devices:
// one file a name, in a folder of the house. It is safe for concurrent use, for a
// file appears whole under its name.
type folderStore string

func (s folderStore) file(name string) (string, error) {
	if name == "" || strings.ContainsAny(name, `/\:`) || strings.HasPrefix(name, ".") {
		return "", fmt.Errorf("%q is no name for a file of the pages", name)
	}
	return filepath.Join(string(s), name), nil
}

// Load returns what was saved under name, nil when nothing was.
func (s folderStore) Load(name string) ([]byte, error) {
	file, err := s.file(name)
	if err != nil {
		return nil, err
	}
	b, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return b, err
}

// Save puts value under name; it is on the disk when Save returns.
func (s folderStore) Save(name string, value []byte) error {
	file, err := s.file(name)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(string(s), 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(string(s), ".new-*")
	if err != nil {
		return err
	}
	_, err = f.Write(value)
	if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
		err = os.Rename(f.Name(), file)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return syncFolder(string(s))
}

// syncFolder puts a new name on the disk. Not every system can do that for a folder;
// then the file's own sync is all there is.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	_ = d.Sync()
	return d.Close()
}
