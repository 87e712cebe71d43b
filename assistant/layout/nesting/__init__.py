"""Cutting pieces from sticks with the least steel, in whole numbers throughout.

``problem`` states it, ``packing`` finds good cuttings, ``bounds`` and ``relaxation`` prove how few sticks it
must take, ``search`` brings the two together.
"""
