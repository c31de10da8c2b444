package ledger

import (
	"math/rand/v2"
	"os"
	"testing"
)

func BenchmarkReadBook(b *testing.B) {
	data, err := os.ReadFile("testdata/book.json")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := ReadBook(data); err != nil {
			b.Fatal(err)
		}
	}
}

// A season of three thousand records.
func BenchmarkReadCSV(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	var book Book
	for range 3000 {
		book.Records = append(book.Records, random(r))
	}
	text, err := book.WriteCSV()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := ReadCSV("in", text); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAccount(b *testing.B) {
	s := farm()
	for i := range 3000 {
		s.Book.Records = append(s.Book.Records, put("2026-04-10", float64(100+i)))
	}
	for b.Loop() {
		if _, err := Account(s); err != nil {
			b.Fatal(err)
		}
	}
}
