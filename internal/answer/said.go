package answer

import (
	"encoding/json"
	"strings"

	"combline/internal/words"
)

// said prints a fact's fields in one line, in their order, by their names in a person's
// language. A fact that can't be read is printed as it is.
func said(c *words.Catalogue, j json.RawMessage) string {
	d := json.NewDecoder(strings.NewReader(string(j)))
	d.UseNumber()
	text, err := saidValue(c, d, 0)
	if err != nil {
		return string(j)
	}
	return text
}

// saidValue prints the next value: an object as "name: value · ...", a list by commas,
// or by semicolons where its members are objects.
func saidValue(c *words.Catalogue, d *json.Decoder, depth int) (string, error) {
	t, err := d.Token()
	if err != nil {
		return "", err
	}
	switch t := t.(type) {
	case json.Delim:
		if t == '{' {
			return saidFields(c, d, depth)
		}
		var items []string
		sep := ", "
		for d.More() {
			item, err := saidValue(c, d, depth+1)
			if err != nil {
				return "", err
			}
			if strings.Contains(item, ": ") {
				sep = "; "
			}
			items = append(items, item)
		}
		_, err := d.Token()
		return strings.Join(items, sep), err
	case string:
		if key := "choice." + strings.ReplaceAll(t, " ", "-"); depth > 0 && c.Has(key) {
			return c.Say(key), nil
		}
		return t, nil
	case json.Number:
		return t.String(), nil
	case bool:
		return c.Text(t), nil
	}
	return c.Say("unknown"), nil
}

func saidFields(c *words.Catalogue, d *json.Decoder, depth int) (string, error) {
	var parts []string
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return "", err
		}
		key, _ := name.(string)
		value, err := saidValue(c, d, depth+1)
		if err != nil {
			return "", err
		}
		if known, ok := strings.CutSuffix(key, "_known"); ok && known != "" && len(parts) > 0 {
			parts[len(parts)-1] += " (" + value + ")" // how the figure before it is known
			continue
		}
		if key == "kind" && depth == 0 || value == "" {
			continue
		}
		if c.Has("field." + key) {
			key = c.Say("field." + key)
		}
		parts = append(parts, key+": "+value)
	}
	_, err := d.Token()
	sep := " · "
	if depth > 0 {
		sep = ", "
	}
	return strings.Join(parts, sep), err
}
