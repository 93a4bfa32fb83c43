"""How a form field is drawn, in one place: `templates/forms/`."""

from django.forms.renderers import TemplatesSetting


class FieldRenderer(TemplatesSetting):
    """Fields and forms are drawn by our own templates; widgets by Django's, but for the empty choice."""

    form_template_name = "forms/form.html"
    field_template_name = "forms/field.html"
