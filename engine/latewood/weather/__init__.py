"""The weather of a place, hour by hour: as it is sent, as it is computed with, and as files hold it."""

from latewood.weather.chance import reckoned_rain
from latewood.weather.face import Exposure, Face, face_of
from latewood.weather.fields import Weather, WeatherColumns, WeatherDay
from latewood.weather.hours import Hours
from latewood.weather.resolve import Place, resolve

__all__ = [
    "Exposure",
    "Face",
    "Hours",
    "Place",
    "Weather",
    "WeatherColumns",
    "WeatherDay",
    "face_of",
    "reckoned_rain",
    "resolve",
]
