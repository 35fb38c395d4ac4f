// Package calibrate sets what nodes heard beside what a plan predicts of them, and turns
// the difference into a [linkbudget.Calibration].
//
//	Log        reads receptions row by row (CSV, NDJSON, GeoJSON; places from GPX) and
//	           keeps of each link, one way, a histogram of levels and what was lost
//	Predict    the same links by terrain and budget, with their doubt
//	Fit        area, nodes and paths: the posterior of a Gaussian model with random effects,
//	           lost packets as censored observations
//	Answer     links, nodes, kinds of paths, outliers, names exchanged; what a plan may use
//
// Sign everywhere: predicted less measured loss, which is measured less predicted level, dB;
// negative is too optimistic a prediction.
//
// Sources: best linear unbiased prediction, Robinson, Statistical Science 6 (1991) 15;
// the censored normal likelihood, Tobin, Econometrica 26 (1958) 24; evidence by Laplace's
// method, MacKay, Neural Computation 4 (1992) 415; effective number of observations, Bayley
// and Hammersley, J. R. Stat. Soc. Suppl. 8 (1946) 184 (all from memory).
package calibrate
