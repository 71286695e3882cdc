package cli

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// says prints what a fact says as it would be typed: gross='308.6 kg' gross_known=weighed.
func says(raw json.RawMessage) string {
	d := json.NewDecoder(strings.NewReader(string(raw)))
	d.UseNumber()
	var fields map[string]any
	if d.Decode(&fields) != nil {
		return string(raw)
	}
	delete(fields, "kind") // it has a column of its own
	return strings.Join(typedAgain("", fields), " ")
}

func typedAgain(path string, fields map[string]any) (all []string) {
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		switch v := fields[name].(type) {
		case map[string]any:
			all = append(all, typedAgain(path+name+".", v)...)
		case []any:
			all = append(all, typedList(path+name, v)...)
		default:
			all = append(all, path+name+"="+word(fmt.Sprint(v)))
		}
	}
	return all
}

func typedList(name string, list []any) (all []string) {
	var codes []string
	for i, v := range list {
		if member, ok := v.(map[string]any); ok {
			all = append(all, typedAgain(fmt.Sprintf("%s.%d.", name, i+1), member)...)
			continue
		}
		codes = append(codes, fmt.Sprint(v))
	}
	if len(codes) > 0 {
		all = append(all, name+"="+word(strings.Join(codes, "; ")))
	}
	return all
}

// word is s as a shell takes it for one word.
func word(s string) string {
	if strings.ContainsAny(s, " '\"\\$&;<>|*?()[]{}!`#~\t\n") {
		return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
	}
	return s
}
