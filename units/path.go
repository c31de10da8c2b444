package units

import (
	"strconv"
	"strings"
)

// A path names a part of an input: keys with a point between them, places in a
// list in square brackets from 0, and keys that are no plain word in square
// brackets and quotes: fields[2].area, elements["Mehlich 3"].

// JoinPath puts prefix in front of a path: "fields[2]" and "area" give
// "fields[2].area".
func JoinPath(prefix, path string) string {
	if prefix == "" || path == "" || path[0] == '[' {
		return prefix + path
	}
	return prefix + "." + path
}

// PathKey returns the key of a map or an object as part of a path: the key itself
// when it consists of letters, digits, _, $ and -, else in brackets and quotes.
func PathKey(key string) string {
	plain := key != ""
	for _, r := range key {
		plain = plain && (r < 0x80 && isLetter(byte(r)) || r >= '0' && r <= '9' || r == '_' || r == '$' || r == '-')
	}
	if plain {
		return key
	}
	return "[" + strconv.Quote(key) + "]"
}

// PathWithin reports whether a field path is place or a part of it: "fields[2].area"
// lies within "fields[2]" and "fields", not within "field". Every path lies within
// the empty place, which is the whole input.
func PathWithin(path, place string) bool {
	rest, ok := strings.CutPrefix(path, place)
	return ok && (place == "" || rest == "" || rest[0] == '.' || rest[0] == '[')
}

// At returns the part of the input at field, or at field[i], field[i][j], below f.
// Faults recorded there are faults of f, with the path of the part in front; the
// path is written only when there is a fault. An empty field leaves f's own path
// with the indexes.
//
//	for i, s := range spec.Soundings {
//		at := f.At("soundings", i)
//		at.Positive("depth", s.Depth)
//	}
func (f *Faults) At(field string, i ...int) Faults {
	at := Faults{up: f, top: f.all(), name: field}
	if len(i) > len(at.index) {
		for _, n := range i {
			at.name += "[" + strconv.Itoa(n) + "]"
		}
		return at
	}
	at.indexes = copy(at.index[:], i)
	return at
}

// Named returns the part of the input at a key of the map or object at field, as
// At does for a place in a list.
func (f *Faults) Named(field, key string) Faults {
	return Faults{up: f, top: f.all(), name: field, key: key, named: true}
}

// all returns the collection that f is a part of.
func (f *Faults) all() *Faults {
	if f.top != nil {
		return f.top
	}
	return f
}

// path returns field with the paths of the parts around it in front.
func (f *Faults) path(field string) string {
	for at := f; at.up != nil; at = at.up {
		own := []byte(at.name)
		for _, i := range at.index[:at.indexes] {
			own = append(strconv.AppendInt(append(own, '['), int64(i), 10), ']')
		}
		place := string(own)
		if at.named {
			place = JoinPath(place, PathKey(strings.Clone(at.key)))
		}
		field = JoinPath(place, field)
		if at.up == at { // a part that was assigned to what it is a part of
			break
		}
	}
	return field
}
