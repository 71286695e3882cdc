package reckon

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
)

const (
	longestCase = 1 << 20
	mostRows    = 1000
	mostCorners = 2000
	deepest     = 8
)

// readWarmCase reads a case strictly: no unknown field, none twice, nothing behind it.
func readWarmCase(text string) (*warmCase, error) {
	if len(text) > longestCase {
		return nil, fmt.Errorf("the case has %d bytes, want %d at most", len(text), longestCase)
	}
	if err := onceEach(json.NewDecoder(strings.NewReader(text)), "", 0); err != nil {
		return nil, err
	}
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	var w warmCase
	if err := d.Decode(&w); err != nil {
		return nil, badCase(err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("the case goes on behind its closing brace")
	}
	return &w, nil
}

func badCase(err error) error {
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) && kind.Field != "" {
		return fmt.Errorf("the case's %s is a %s, want %s", kind.Field, kind.Value, plainKind(kind.Type.Kind()))
	}
	return fmt.Errorf("the case is not what it should be: %s", strings.TrimPrefix(err.Error(), "json: "))
}

// plainKind is a kind of the form in plain words.
func plainKind(k reflect.Kind) string {
	switch k {
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "a word"
	case reflect.Slice:
		return "a list"
	case reflect.Struct, reflect.Map:
		return "a figure or an object of figures"
	}
	return "a figure"
}

// onceEach walks one value and refuses a key that is unknown to the form, spelt
// otherwise, or there twice: the standard decoder takes the last of two and any case.
func onceEach(d *json.Decoder, path string, depth int) error {
	if depth > deepest {
		return fmt.Errorf("the case is nested deeper than %d", deepest)
	}
	t, err := d.Token()
	if err != nil {
		return badCase(err)
	}
	switch t {
	case json.Delim('['):
		for d.More() {
			if err := onceEach(d, path, depth+1); err != nil {
				return err
			}
		}
	case json.Delim('{'):
		seen := map[string]bool{}
		for d.More() {
			k, err := d.Token()
			if err != nil {
				return badCase(err)
			}
			key := k.(string)
			if err := knownKey(path, key, seen); err != nil {
				return err
			}
			seen[key] = true
			if err := onceEach(d, key, depth+1); err != nil {
				return err
			}
		}
	default:
		if depth == 0 {
			return fmt.Errorf("the case is no JSON object: it begins with {")
		}
		return nil
	}
	_, err = d.Token()
	if err != nil {
		return badCase(err)
	}
	return nil
}

func knownKey(path, key string, seen map[string]bool) error {
	known := caseKeys(path)
	in := "the case"
	if path != "" {
		in += "'s " + path
	}
	switch {
	case known == nil:
		return fmt.Errorf("%s has fields, want a figure", in)
	case !slices.Contains(known, key):
		return fmt.Errorf("%s has an unknown field %s%s; it takes %s", in, quoted(key), nearest(key, known), strings.Join(known, ", "))
	case seen[key]:
		return fmt.Errorf("%s has %s twice", in, key)
	}
	return nil
}

// caseKeys lists the fields of one object of the form.
func caseKeys(path string) []string {
	faces := []string{"side", "bottom", "top"}
	switch path {
	case "":
		return []string{"diameter_m", "height_m", "length_m", "width_m", "mass_kg", "jacket_m2", "other_m2", "stirrer_w", "inside_w_m2_k",
			"start_c", "film", "ambient", "wall", "properties", "water_pct", "assume_water", "school", "rate", "melt", "convection", "heater", "report_h"}
	case "film", "ambient":
		return faces
	case "start_c":
		return []string{"core", "skin", "mean"}
	case "properties":
		return []string{"k", "w_m_k", "k_per_c", "rho", "density_kg_m3", "cp", "j_kg_k", "cp_per_c", "hmf_per_h_40", "hmf_j_mol", "diastase_per_h_40", "diastase_j_mol"}
	case "melt":
		return []string{"latent_j_kg", "centre_c", "width_k"}
	case "wall":
		return []string{"thick_m", "w_m_k"}
	case "heater":
		return []string{"power_w", "loss_w_k", "outside_c", "bodies", "faces"}
	}
	return nil
}
