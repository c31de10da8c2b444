// Package strict reads JSON that people write, and finds every fault in one round.
//
// Each fault is a [units.FieldError] with the path of the key, line and column: keys
// that nothing reads, a key given twice, values of the wrong kind, quantities that
// do not parse. [Decode] reads; [Check] reads, has what was read checked, and
// returns the faults of both without those that only repeat that a value was not
// read, with numbers as the user wrote them; [Make] makes what a spec is the spec of.
//
//	basin, err := strict.Make(data, volume.NewRectangular)
//	for _, fault := range units.FieldErrors(err) {
//		fmt.Println(fault.Line, fault.Field, fault)
//	}
//
// Numbers in the text of quantities have a point, and commas between groups of three,
// as in "1,234.5 ft"; a [Reader] reads them with the signs of a [units.Style].
//
// The text is UTF-8, with or without a byte-order mark. UTF-16 and text that is not
// UTF-8, such as Latin-1, are refused by name.
package strict
