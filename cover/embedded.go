package cover

// must is for the embedded tables, which the tests load.
func must[T any](v T, err error) T {
	if err != nil {
		panic("cover: embedded table: " + err.Error())
	}
	return v
}

// clones returns a list of copies, nil for nil, so that callers may write in what
// they get.
func clones[T any](list []T, clone func(T) T) []T {
	if list == nil {
		return nil
	}
	out := make([]T, len(list))
	for i, x := range list {
		out[i] = clone(x)
	}
	return out
}

// pointed returns a pointer to a copy of what p points to, nil for nil.
func pointed[T any](p *T) *T {
	if p == nil {
		return nil
	}
	return new(*p)
}
