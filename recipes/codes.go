package recipes

import "fitadvisor/explain/diag"

// What can be wrong with bodies, cloths, patterns and their charts.
const (
	otherKind      diag.Code = "FA0301" // of file
	unknownMeasure diag.Code = "FA0302"
	garmentsOwn    diag.Code = "FA0303" // measured on no body
	belowNothing   diag.Code = "FA0304"
	readingsApart  diag.Code = "FA0305"
	badAngle       diag.Code = "FA0306"
	badAge         diag.Code = "FA0307"
	noDirection    diag.Code = "FA0308" // of a stretch
	badStretch     diag.Code = "FA0309"
	NoChart        diag.Code = "FA0310"
	sizesMissing   diag.Code = "FA0311"
	nameless       diag.Code = "FA0312" // size or row
	thereTwice     diag.Code = "FA0313" // size or row
	unevenRow      diag.Code = "FA0314"
	badCell        diag.Code = "FA0315"
	notBeside      diag.Code = "FA0316" // a file that is named in another
	notAChart      diag.Code = "FA0317"
	noSuchSize     diag.Code = "FA0318"
	typeless       diag.Code = "FA0319" // kept garment
	slipOfUnits    diag.Code = "FA0320" // or of digits, in a measurement
	tooMany        diag.Code = "FA0321" // sizes or readings
	seatedBody     diag.Code = "FA0322"
	earlierKind    diag.Code = "FA0323" // of file
	passedOver     diag.Code = "FA0324" // row or column of a table
)

// What can be wrong with pieces laid flat.
const (
	badEdges      diag.Code = "FA0331" // named for more or fewer than a piece has
	nothingLeft   diag.Code = "FA0332" // of a piece
	badCopies     diag.Code = "FA0333"
	otherWay      diag.Code = "FA0334" // a length across a piece, or a girth along it
	badRatio      diag.Code = "FA0335" // of gathers
	notMeasured   diag.Code = "FA0336" // where something is taken out
	badAlteration diag.Code = "FA0341" // in a person's own list, or of a make
	badPlace      diag.Code = "FA0342" // for a hem or a sleeve to end at
)

// What can be wrong with recipes and their examples.
const (
	unsettledStretch diag.Code = "FA0402"
	unmeasured       diag.Code = "FA0404" // zone
	easeMissing      diag.Code = "FA0405"
	toleranceMissing diag.Code = "FA0406"
	badElastic       diag.Code = "FA0407"
	badOpening       diag.Code = "FA0408"
	notThere         diag.Code = "FA0409" // a size, zone or rule that is named
	emptyExample     diag.Code = "FA0410"
	badWish          diag.Code = "FA0411"
	badName          diag.Code = "FA0412" // of a garment type
	endless          diag.Code = "FA0413" // garment types based on one another
	NameTaken        diag.Code = "FA0414" // by a shipped garment type, or another one

	badMeasurement     diag.Code = "FA0415" // that is declared
	measurementTaken   diag.Code = "FA0416" // a word for it, by another measurement
	measurementDiffers diag.Code = "FA0417" // from what another file declares
)

// noSuchRecipe is what a pattern may name.
const noSuchRecipe diag.Code = "FA0701"
