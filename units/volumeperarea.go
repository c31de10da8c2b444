package units

import (
	"database/sql/driver"
	"fmt"
)

// VolumePerArea is a volume spread over an area, in metres: a rate of liquid
// manure or irrigation. Its dimension is that of Length; [VolumePerArea.Depth]
// and [Length.Applied] convert.
type VolumePerArea float64

// Units of VolumePerArea.
const (
	GallonPerAcre        VolumePerArea = gallon / acre
	AcreInchPerAcre      VolumePerArea = inch // 27,154.29 gal/acre
	LitrePerHectare      VolumePerArea = 0.001 / 10000
	CubicMetrePerHectare VolumePerArea = 1.0 / 10000
	CubicYardPerAcre     VolumePerArea = yard * yard * yard / acre
	BushelPerAcre        VolumePerArea = bushel / acre // a volume of struck bushels; grain by test weight is not meant
)

var volumeperareaKind = kind{
	name: "volume per area", dim: dim{m: 1}, si: "m3/m2",
	units: []named{
		{"gal/acre", gallon / acre},
		{"acre-in/acre", inch},
		{"L/ha", 0.001 / 10000},
		{"m3/ha", 1.0 / 10000},
		{"yd3/acre", yard * yard * yard / acre},
		{"bu/acre", bushel / acre},
		{"in", inch},
		{"mm", 0.001},
		{"m3/m2", 1},
	},
	pick:   bySize(named{"gal/acre", 0}),
	metric: bySize(named{"m3/ha", 0}),
}

// ParseVolumePerArea reads a volume per area with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseVolumePerArea(s string) (VolumePerArea, error) { return parse[VolumePerArea](s) }

// In returns the number of units u in r.
func (r VolumePerArea) In(u VolumePerArea) float64 { return float64(r) / float64(u) }

// Text writes r in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of VolumePerArea gives SI.
func (r VolumePerArea) Text(u VolumePerArea, decimals int) string { return text(r, u, decimals) }

// Trade writes r rounded to four figures in the usual unit at its size.
func (r VolumePerArea) Trade() string { return Style{}.Text(r) }

// SI returns r in m3/m2.
func (r VolumePerArea) SI() float64 { return float64(r) }

// Format implements fmt.Formatter: every verb prints the number in m3/m2
// followed by that unit.
func (r VolumePerArea) Format(s fmt.State, verb rune) { format(r, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (r VolumePerArea) AppendText(b []byte) ([]byte, error) { return appendSI(b, r) }

// MarshalText is AppendText(nil).
func (r VolumePerArea) MarshalText() ([]byte, error) { return marshal(r) }

// UnmarshalText is [ParseVolumePerArea] into r, which an error leaves as it was.
func (r *VolumePerArea) UnmarshalText(text []byte) error { return unmarshal(r, text) }

// Value returns r as the text of MarshalText, for database/sql.
func (r VolumePerArea) Value() (driver.Value, error) { return SQLValue(r) }

// Scan reads text with its unit as UnmarshalText does.
func (r *VolumePerArea) Scan(src any) error { return SQLScan(src, r) }

func (VolumePerArea) quantity() *kind { return &volumeperareaKind }
