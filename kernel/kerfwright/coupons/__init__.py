"""Test pieces as ordinary jobs: slots at rising feeds, squares and holes to measure, and what to do with them."""

from kerfwright.coupons.asked import Asked
from kerfwright.coupons.fitform import fit_form
from kerfwright.coupons.fitjob import fit_job
from kerfwright.coupons.fitpage import fit_page
from kerfwright.coupons.fitpiece import FitPiece, fit_piece
from kerfwright.coupons.ratesjob import rates_job
from kerfwright.coupons.ratespage import rates_page
from kerfwright.coupons.slots import Slots, slots

__all__ = [
    "Asked",
    "FitPiece",
    "Slots",
    "fit_form",
    "fit_job",
    "fit_page",
    "fit_piece",
    "rates_job",
    "rates_page",
    "slots",
]
