// Package engine turns a body, a pattern, a cloth and a recipe into an answer:
// a ranked, explained size with cautions. For most uses call [Advise]; to rank
// many bodies against one pattern, [Prepare] it once and call [Fitter.Rank].
// [Cover] tells whom a pattern fits, of many bodies. [LayFlat] adds pieces laid
// flat up to finished measurements.
//
// # Units
//
// Lengths come in as whole nanometres (package quantity) and are computed as
// whole numbers of nanometres in a float64, which holds them exactly; only
// ratios round. Answers are in centimetres and percent.
//
// # Determinism
//
// The engine reads no file, clock, network or random number. Zones run from
// the top of the body down, sizes by the chart; the order in which a file
// lists sizes, zones or rules changes nothing.
//
// # Explanation
//
// Each number's explanation is made in the function that computes the number,
// so the words cannot drift from it. [Fitter.Rank] takes the same path with
// the recorder switched off.
package engine
