package main

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"slices"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume"
)

// kinds is what can be stored, and how each is made of its JSON: one check stands
// before the database and behind it.
var kinds = map[string]func([]byte) (any, error){
	"basins":  made(volume.NewBasin),
	"surveys": made(sludge.NewSurvey), // soundings within their boundary
	"reports": made(nutrient.Analyze),
	"fields":  made(func(f allocation.Field) (allocation.Field, error) { return f, nil }), // checked when it is asked about
	"records": func(data []byte) (any, error) { return calibrate.ParseRecord(data) },
}

func made[Spec, T any](from func(Spec) (T, error)) func([]byte) (any, error) {
	return func(data []byte) (any, error) {
		var spec Spec
		var thing T
		err := strict.Check(data, &spec, func() (err error) { thing, err = from(spec); return err })
		return thing, err
	}
}

// spec returns what is stored; what is not is a fault of field.
func spec(ctx context.Context, db *sql.DB, field, kind, id string) (data []byte, err error) {
	err = db.QueryRowContext(ctx, `SELECT spec FROM things WHERE kind = ? AND id = ?`, kind, id).Scan(&data)
	if errors.Is(err, sql.ErrNoRows) {
		err = units.Fault(units.FaultLacking, field, id, "one of the "+kind+" that are stored")
	}
	return data, err
}

// get makes a thing of what is stored.
func get[T any](ctx context.Context, db *sql.DB, field, kind, id string) (thing T, err error) {
	data, err := spec(ctx, db, field, kind, id)
	if err == nil {
		var one any
		one, err = kinds[kind](data)
		thing, _ = one.(T)
	}
	return thing, err
}

// Answer is a result as data, and its working to be shown.
type Answer struct {
	Result  any
	Working units.Working
}

// VolumeSpec asks what a basin holds, of which the liquid stands so deep.
type VolumeSpec struct {
	Basin  string       `json:"basin"` // id
	Survey string       `json:"survey"`
	Depth  units.Length `json:"depth"`
}

func volumes(ctx context.Context, db *sql.DB, spec VolumeSpec) (a Answer, err error) {
	basin, err := get[volume.Basin](ctx, db, "basin", "basins", spec.Basin)
	survey, err2 := get[*sludge.Survey](ctx, db, "survey", "surveys", spec.Survey)
	if err = errors.Join(err, err2); err != nil {
		return a, err
	}
	var f units.Faults
	f.Between("depth", spec.Depth, units.Millimetre, basin.Depth())
	held, err := sludge.VolumeWithInterval(ctx, survey, sludge.VolumeSpec{Confidence: 0.95})
	if f.Sub("survey", err); err == nil && held.Volume >= basin.VolumeAt(spec.Depth) {
		f.Add("depth", spec.Depth, "a depth that holds more than the sludge, %v", held.Volume)
	}
	if f.Len() > 0 {
		return a, f.Err()
	}
	layers, err := volume.Layers(volume.LayersSpec{Basin: basin, FromFloor: []volume.LayerSpec{
		{Name: "sludge", Volume: held.Volume}, {Name: "liquid", Volume: basin.VolumeAt(spec.Depth) - held.Volume}}})
	return Answer{map[string]any{"sludge": held, "layers": layers}, append(held.Working(), layers.Working()...)}, err
}

// Material is what goes out, with the report and the set that say what it holds.
type Material struct {
	allocation.Material
	Report string          `json:"report"` // id
	State  *nutrient.State `json:"state"`  // id of a state of the library, or the whole of another
	Query  nutrient.Query  `json:"query"`
}

// SpreadSpec asks how much each field may take of each material, and where all of it
// goes at least cost. Limits and prices are those of available N and P2O5.
type SpreadSpec struct {
	Fields    []string           `json:"fields"` // ids
	Materials []Material         `json:"materials"`
	Prices    []allocation.Price `json:"prices"`
}

// load turns a question about what is stored into one for the library.
func (spec SpreadSpec) load(ctx context.Context, db *sql.DB) (ask allocation.AllocateSpec, err error) {
	ask = allocation.AllocateSpec{Seasons: []string{"the season"}, Prices: spec.Prices}
	var faults units.Faults
	for i, m := range spec.Materials {
		at := faults.At("materials", i)
		report, err := get[nutrient.Analysis](ctx, db, "report", "reports", m.Report)
		n := nutrient.AvailableResult{}
		if err == nil {
			n, err = nutrient.Available(nutrient.AvailableSpec{Analysis: report, State: m.State, Query: m.Query, Years: 1})
		}
		if at.Sub("", err); err == nil { // the high end counts, so that no field gets too much
			m.Holds = []allocation.Holding{{Of: "available N", Content: n.Years[0].N.High}, {Of: "P2O5", Content: report.P2O5()}}
			ask.Materials = append(ask.Materials, m.Material)
		}
	}
	for i, id := range spec.Fields {
		at := faults.At("fields", i)
		f, err := get[allocation.Field](ctx, db, "", "fields", id)
		at.Sub("", err)
		ask.Fields = append(ask.Fields, f)
	}
	return ask, faults.Err()
}

func rates(ctx context.Context, db *sql.DB, spec SpreadSpec) (a Answer, err error) {
	ask, err := spec.load(ctx, db)
	results := map[string]nutrient.FieldRateResult{} // by field and material
	for _, f := range ask.Fields {
		for _, m := range ask.Materials {
			var limits nutrient.FieldRateSpec
			for _, l := range f.Limits {
				limit := nutrient.Limit{Kind: l.Kind, Name: l.Name, Rate: l.Rate, Room: l.Room}
				if at := slices.IndexFunc(m.Holds, func(h allocation.Holding) bool { return h.Of == l.Of }); at >= 0 {
					limit.Holds = m.Holds[at].Content
				}
				limits.Limits = append(limits.Limits, limit)
			}
			rate, wrong := nutrient.FieldRate(limits)
			err = errors.Join(err, wrong)
			results[f.Name+", "+m.Name] = rate
			a.Working = append(a.Working, rate.Working()...)
		}
	}
	return Answer{results, a.Working}, err
}

func allocate(ctx context.Context, db *sql.DB, spec SpreadSpec) (Answer, error) {
	ask, err := spec.load(ctx, db)
	if err != nil {
		return Answer{}, err
	}
	result, err := allocation.Allocate(ctx, ask)
	return Answer{result, result.Working()}, err
}

func closure(ctx context.Context, _ *sql.DB, scenario json.RawMessage) (Answer, error) {
	p, err := plan.Read(ctx, scenario)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Result: p.Results}
	if v := p.Results.Contents.Sludge; v != nil && v.Estimate != nil {
		a.Working = v.Estimate.Working()
	}
	if t := p.Results.Taken(); t != nil && t.Spread.Allocated != nil {
		a.Working = append(a.Working, t.Spread.Allocated.Working()...)
	}
	return a, nil
}
