// Package field is the arithmetic of a Gaussian random field whose covariance is
// not known: many covariances are tried, each weighed by its marginal likelihood,
// mean and variance integrated out. It works on plain SI numbers; package geostat
// and package sludge give it units, names and checks.
//
// Notation: n sites with values y, R their correlations, q the share of the nugget,
// Sigma = (1-q) R + q diag(1/m) for m readings at a site, Si its inverse,
// beta = 1'Si y / o with o = 1'Si 1, S = y'Si y - beta^2 o, nu = n - 1. The log of
// the likelihood with a flat prior on the mean and 1/sigma^2 on the variance is
//
//	-ln|Sigma|/2 - ln(o)/2 - nu/2 ln(S/2)
//
// but for a constant, which is the restricted likelihood too (P. K. Kitanidis,
// Parameter uncertainty in estimation of spatial functions: Bayesian analysis, Water
// Resources Research 22, 1986; M. S. Handcock and M. L. Stein, A Bayesian analysis of
// kriging, Technometrics 35, 1993; P. J. Diggle and P. J. Ribeiro, Model-based
// Geostatistics, Springer, 2007, chapter 7: all from memory).
package field
