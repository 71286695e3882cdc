package record

import "strings"

// Keys of package words for what has a name here. A key has no spaces, so the names
// in it are hyphenated.

// key is the key of one name.
func key(prefix, name string) string { return prefix + strings.ReplaceAll(name, " ", "-") }

// Key is the kind's key: "kind.drum-filled".
func (k Kind) Key() string { return key("kind.", k.String()) }

// Key is the entity's key: "thing.wax-block". A number that a struck fact gave stands
// for no entity any more.
func (e Entity) Key() string {
	if e == NoEntity {
		return "thing.struck"
	}
	return key("thing.", e.String())
}

// Key is the property's key: "property.free-acid".
func (p Property) Key() string { return key("property.", p.String()) }

// Key is the cause's key: "cause.foreign-body".
func (c Cause) Key() string { return key("cause.", c.String()) }

// Key is the purpose's key: "purpose.cooking".
func (p Purpose) Key() string { return key("purpose.", p.String()) }

// The rest are known by their choices in forms.

// Key is the shape's key: "choice.drum".
func (k VesselKind) Key() string { return ChoiceKey(k.String()) }

// Key is the place's key: "choice.cold-store".
func (k PlaceKind) Key() string { return ChoiceKey(k.String()) }

// Key is the product's key: "choice.soft-set-jar".
func (k ProductKind) Key() string { return ChoiceKey(k.String()) }

// Key is the cleaning's key: "choice.wash-down".
func (k CleanKind) Key() string { return ChoiceKey(cleanNames[k]) }

// Key is the class's key: "choice.foreign-body".
func (c ComplaintClass) Key() string { return ChoiceKey(c.String()) }

// Key is the recall's key: "choice.withdrawal".
func (k RecallKind) Key() string { return ChoiceKey(k.String()) }

// Key is the paper's key: "choice.drum-tag".
func (k PaperKind) Key() string { return ChoiceKey(k.String()) }

// ChoiceKey is the key of one of a field's choices.
func ChoiceKey(name string) string { return key("choice.", name) }

// FieldKey is the key of a field's label: that of its own name, without the lists
// that it stands in.
func FieldKey(name string) string { return "field." + name[strings.LastIndex(name, ".")+1:] }
