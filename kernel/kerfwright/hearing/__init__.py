"""The hearing test: small programs in the air that show which dialect a controller understands, and what its answers decide."""

from kerfwright.hearing.answers import Heard, confirmed, decided, heard
from kerfwright.hearing.form import answers_yaml, form_html
from kerfwright.hearing.trials import Trial, trials

__all__ = ["Heard", "Trial", "answers_yaml", "confirmed", "decided", "form_html", "heard", "trials"]
