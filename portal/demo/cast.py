"""Who can sign in to the demo, one of each kind. All of them are invented."""

PASSWORD = "ring closes at nine segments"
OWNER_OF = "Ateliers Hautpré"
SIGN_INS = (
    ("technician", "ilse@hautpre.example"),
    ("manager", "manager@hautpre.example"),
    ("network administrator", "admin@circle.example"),
    ("another workshop", "technician@rureifel.example"),
)
SIGNING_CODES = {"ilse@hautpre.example": "604819", "bram@hautpre.example": "271605"}
