"""The schemas and rulesets that come with speclint are found."""

from pathlib import Path

import pytest

from speclint import resources
from speclint.schemas import DOCUMENTS, schema_text


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_checkout_has_its_schemas_beside_the_package(name: str) -> None:
    assert (
        resources.schemas_folder() / f"{name}.schema.json"
        == Path(resources.__file__).parents[1] / "schemas" / f"{name}.schema.json"
    )
    assert resources.schema_text(name) == schema_text(name)


def test_an_installed_package_has_them_inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shipped = tmp_path / "speclint" / "_shipped"
    (shipped / "schemas").mkdir(parents=True)
    (shipped / "rulesets" / "clubs").mkdir(parents=True)
    (shipped / "schemas" / "setup-1.schema.json").write_text("{}", encoding="utf-8")
    (shipped / "rulesets" / "b.yaml").write_text("format: ruleset/1\n", encoding="utf-8")
    (shipped / "rulesets" / "clubs" / "a.yaml").write_bytes(b"\xef\xbb\xbfid: a\n")
    monkeypatch.setattr(resources, "_PACKAGE", str(tmp_path / "speclint"))
    monkeypatch.setattr(resources, "_SHIPPED", str(shipped))
    assert resources.schema_text("setup-1") == "{}"
    assert resources.ruleset_texts() == (("b.yaml", "format: ruleset/1\n"), ("clubs/a.yaml", "id: a\n"))


def test_without_rulesets_there_are_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(resources, "_PACKAGE", str(tmp_path / "speclint"))
    monkeypatch.setattr(resources, "_SHIPPED", str(tmp_path / "speclint" / "_shipped"))
    assert resources.ruleset_texts() == ()
