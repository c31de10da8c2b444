package removal

import "slices"

// What can hurt people, by what it comes from.
const (
	cautionGas      = "Gas: agitation sets hydrogen sulfide free at once, in the open too; on still, humid days it lies on the ground. Before it starts move people and animals upwind and away, close or ventilate buildings, wear a gas monitor and leave when it sounds. Keep the jet below the surface and off the banks."
	cautionStirred  = "Gas: sludge that is walked on, dug or stirred sets hydrogen sulfide free too. Wear a gas monitor, work upwind, and leave when it sounds."
	cautionFire     = "Fire: no flame, smoking, welding or sparking tool near agitation; gas in foam can flash."
	cautionDrowning = "Drowning: a crust or a dried edge looks like ground and carries neither people nor machines. Work by daylight and in pairs, mark the crest, keep the fence, a ring and a line."
	cautionEntry    = "Entry: nobody goes into a tank, sump, reception pit or pipe of the system without air testing, forced air, supplied air, harness and line and people outside. Do not follow one who is down: call the emergency service. Find out which rules for confined spaces apply to farm and contractor."
	cautionBank     = "Bank: wet liners and loaded slopes slide under an excavator, and a cut face of sludge or soil caves in. Nobody goes below or between. Let a competent person say where a machine may stand, how far from the edge and how steep the cut may be; a cut into an embankment that holds water back is a matter for a licensed engineer."
	cautionHose     = "Hose: a hose or a pig under pressure strikes with force when it comes free. Relieve the pressure before uncoupling, stand clear of ends and pigs, keep the crew in radio contact, and guard every shaft."
	cautionInflow   = "Inflow: while the herd stays the basin fills on behind the crew, and gas comes in with it. Say before the work starts where the inflow goes from the first day of it, to what storage with what room, and lock or plug the old inlet."
	cautionAllowed  = "The plan counts quantities; it does not say that a site is safe or that a release is allowed. Ask the regulator before land application or discharge."
)

// cautions returns what can hurt people on the stages of the plan.
func cautions(spec PlanSpec) (list []string) {
	if spec.Agitate != nil {
		list = append(list, cautionGas, cautionFire)
	}
	list = append(list, cautionDrowning, cautionEntry, cautionBank, cautionStirred)
	if spec.PumpOff.Hose != nil || spec.Dig.Hose != nil || spec.Agitate != nil && spec.Agitate.Pump.Hose != nil {
		list = append(list, cautionHose)
	}
	if slices.ContainsFunc(spec.Exchanges, func(x Exchange) bool { return x.Kind == ExchangeInflow }) {
		list = append(list, cautionInflow)
	}
	return append(list, cautionAllowed)
}

// cautions returns what can hurt people on the stage.
func (s StageResult) cautions() (list []string) {
	list = make([]string, 0, 4)
	switch s.Kind {
	case StageAgitate, StagePump: // agitation goes on while pumping
		list = append(list, cautionGas, cautionFire)
	case StageDig:
		list = append(list, cautionStirred, cautionBank)
	case StageDrain:
		list = append(list, cautionStirred)
	}
	list = append(list, cautionDrowning)
	if s.Hose != nil {
		list = append(list, cautionHose)
	}
	return list
}
