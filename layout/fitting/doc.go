// Package fitting decides what is made where runs meet: elbow or mitre, takeoff or wye, how
// long a size change is, how much of each run its fittings take, and where the true centrelines
// lie once sizes are known. It works from the network, the sizes and the office's rules; the losses of
// fittings are the business of package sizing, their pictures that of package plan.
package fitting
