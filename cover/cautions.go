package cover

// Cautions are short statements in words of our own. They name the hazard and
// who decides; the numbers of codes and labels are not repeated.
const (
	cautionSeed = "Treated seed is poisonous to people and animals and dusts when poured: read the tag, wear gloves and a mask, keep it from feed and water."
	cautionLime = "Burnt and hydrated lime burn eyes and skin and heat with water; all lime dusts. Wear goggles, gloves and a mask, and keep hydrated lime from ammonium fertilizer, with which it frees ammonia gas."

	cautionFertilizer = "Nitrogen and phosphorus that wash off feed algae: rely on a soil test, work fertilizer in, keep it off pavement, water and the state's setbacks, and wait when heavy rain is near. Manure left in the soil counts first."
	cautionNitrate    = "Ammonium nitrate can explode in fire or when soiled with fuel: store it dry and apart and follow the local fire code."
	cautionSlope      = "Machines overturn on banks: work up and down or along the contour as the maker allows, keep off edges that were lately filled, use roll-over protection and a seat belt, and let a competent person decide what slope is safe."
	cautionMulchFire  = "Dry straw burns: no open flame, smoking or hot exhaust near it until it is anchored and wet."
	cautionErosion    = "The estimate is a long-term average of sheet and rill erosion, no forecast of a storm. Sediment that leaves the site may need a permit, controls and an inspection: ask the regulator before the ground is opened."
	cautionPayment    = "Practice payments have their own contract, order of work and inspection: work begun before the contract is signed is often not paid. The program decides, not this sum."
)
