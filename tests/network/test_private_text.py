"""Texts that other workshops read hold nothing that tells who the customer or the car is."""

import pytest

from network.private_text import IN_A_NUMBER, private_pieces

# The VIN is an example of ISO 3779's layout that many references print; numbers are of the range the Bundesnetzagentur
# keeps for drama; the mail domain is reserved by RFC 2606.
PRIVATE = ["ask anneke@terwold.example", "car 1M8GDM9AXKP042788", "ring +49 30 23125 900", "ring 0049-30-23125900"]
HARMLESS = [
    "two dots beside the serial, label B2",
    "LN 27 410-0 replaces LN 27 408-0",
    "92 000 km, rebuilt 2024-11-25",
    "12345678901234567",
    "INTERCHANGEABILITY",
    "price @ 12.50",
]


@pytest.mark.parametrize("text", PRIVATE)
def test_private_pieces_are_named(text):
    (piece,) = private_pieces(text)
    assert piece.endswith(")")


@pytest.mark.parametrize("text", HARMLESS)
def test_the_words_of_the_trade_are_left_alone(text):
    assert private_pieces(text) == []


def test_a_part_number_may_begin_with_two_noughts():
    assert private_pieces("00 27 410 0123", IN_A_NUMBER) == []
