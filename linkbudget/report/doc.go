// Package report writes results: one result, many writers.
//
// Each writer takes an io.Writer and a result of linkbudget or
// linkbudget/mesh and computes nothing but rounding. Text is for a person,
// verdict first, in lines that fit a phone held sideways. JSON is for
// programs: it carries "schema": 1, keys end in their unit, a key that has no
// value is absent, and a number is never NaN.
//
// Rounding in JSON: decibels and dBm to 0.001, metres to 0.001, degrees to
// 1e-7 for places and 1e-4 for angles, 0.1 for those of a compass. Text shows fewer digits.
//
// Azimuths and bearings are true. Beside them stand those of a compass, for the month of a
// date that the caller gives; without one, or where the model says nothing, they are absent.
//
// The words of a verdict are those of linkbudget.Verdict. Cautions are printed
// once, at the end; they are the usual ones of the trade and defer to local
// codes and licensed people.
package report
