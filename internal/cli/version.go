package cli

import (
	"fmt"
	"runtime/debug"
)

// version is what the Go tool wrote into the binary when it was built.
func version() string {
	b, ok := debug.ReadBuildInfo()
	if !ok {
		return "combline, version not recorded"
	}
	v := fmt.Sprintf("combline %s, %s", b.Main.Version, b.GoVersion)
	for _, s := range b.Settings {
		switch {
		case s.Key == "vcs.revision":
			v += ", " + s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			v += " with changes"
		}
	}
	return v
}
