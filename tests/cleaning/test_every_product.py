"""Every kind of product keeps the contract of docs/add-a-product.md."""

from __future__ import annotations

import pytest

from wainscot.cleaning import may_follow, products, read_label

OTHERS = {"ammonia", "acid"}
"""What is no product here and may meet one."""


@pytest.mark.parametrize("name", sorted(products()))
def test_a_product_says_its_words_and_names_only_what_there_is(name: str) -> None:
    kind = products()[name]
    assert kind.name
    assert kind.notes.endswith(".")
    assert 50 <= kind.coverage <= 500
    assert set(kind.never_with) <= set(products()) | OTHERS
    assert set(kind.after) <= set(products()) - {name}


@pytest.mark.parametrize("name", sorted(products()))
def test_what_may_not_meet_is_barred_in_both_orders(name: str) -> None:
    for other in products()[name].never_with:
        assert "may not meet" in may_follow(name, other)
        assert "may not meet" in may_follow(other, name)


@pytest.mark.parametrize("name", sorted(products()))
def test_a_label_of_the_kind_is_read(name: str) -> None:
    label = read_label(
        f'product = "{name}"\nregistration = "0000-00"\ncontact_time = "10 min"\n'
        'dilution = "none"\nsurfaces = ["sealed"]\n'
    )
    assert label.product == name
