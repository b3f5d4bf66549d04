"""The method in numpy and scipy, written from its text and checked with its vectors; no part of it knows the engine.

Modules in the order of the data: record, curves, session, interval, gain, band, peaks, claims, detectors, checks, analysis;
studies holds what a facility computes from its own past.
"""
