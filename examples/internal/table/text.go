// Package table reads tables as people's machines write them: CSV from a
// spreadsheet or an instrument, with commas, semicolons or tabs, in UTF-8 or UTF-16,
// with the columns in any order.
package table

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"unicode/utf16"
	"unicode/utf8"

	"example.org/earthbasin/units"
)

// decode returns the text of data with one newline at the end of each line. UTF-8
// and UTF-16 are told apart by their byte-order marks; text of any other encoding is a
// fault, since its characters can only be guessed.
func decode(name string, data []byte, faults *units.Faults) (text []byte, ok bool) {
	var order binary.ByteOrder
	switch {
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE, 0, 0}), bytes.HasPrefix(data, []byte{0, 0, 0xFE, 0xFF}):
		faults.Say(name, "UTF-32", "UTF-8 or UTF-16")
		return nil, false
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		order = binary.LittleEndian
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		order = binary.BigEndian
	}
	switch {
	case order != nil:
		if len(data)%2 != 0 {
			faults.Say(name, "UTF-16 that ends within a character", "the whole file")
			return nil, false
		}
		code := make([]uint16, 0, len(data)/2)
		for i := 2; i < len(data); i += 2 {
			code = append(code, order.Uint16(data[i:]))
		}
		data = []byte(string(utf16.Decode(code)))
	case bytes.IndexByte(data, 0) >= 0:
		faults.Say(name, "a file with zero bytes, such as UTF-16 without a byte-order mark", "UTF-8, or UTF-16 with its mark")
		return nil, false
	case !utf8.Valid(data):
		line := 1
		for len(data) > 0 {
			r, n := utf8.DecodeRune(data)
			if r == utf8.RuneError && n == 1 {
				break
			}
			if r == '\n' {
				line++
			}
			data = data[n:]
		}
		faults.Say(fmt.Sprintf("%s line %d", name, line), fmt.Sprintf("the byte %#x, as in Latin-1 or Windows-1252", data[0]), "text saved as UTF-8")
		return nil, false
	default:
		data = bytes.TrimPrefix(data, []byte("\ufeff"))
	}
	data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
	return bytes.ReplaceAll(data, []byte("\r"), []byte("\n")), true
}
