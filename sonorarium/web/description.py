"""The description of the API: OpenAPI, as the framework draws it from the addresses, and made true of both forms.

The framework knows the JSON form of every address; that each has a page beside it, and that errors come in both forms
too, is added here once for all.
"""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

PAGE = {"schema": {"type": "string", "description": "The same as a page, or a part of one."}}


def describe(app: FastAPI) -> dict[str, Any]:
    """Describe every address of the workbench.

    Parameters
    ----------
    app : FastAPI
        With all its addresses.

    Returns
    -------
    dict
        An OpenAPI document; every answer that has a JSON form has ``text/html`` beside it.
    """
    made = get_openapi(title=app.title, version=app.version, description=app.description, routes=app.routes)
    for methods in made["paths"].values():
        for operation in methods.values():
            for status, told in operation["responses"].items():
                content = told.get("content", {})
                if int(status) >= 400:
                    content.setdefault("application/json", {"schema": {"$ref": "#/components/schemas/Refusal"}})
                if "application/json" in content:
                    content.setdefault("text/html", PAGE)
    return made
